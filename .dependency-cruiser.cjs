// Import rules, made from the ordered list of layers. Type imports count (tsPreCompilationDeps).
const { LAYERS, CHAPTERS } = require('./tools/layers.cjs');

const upward = LAYERS.slice(0, -1).map((layer, index) => ({
  name: `no-import-upward-from-${layer}`,
  comment: `${layer} knows only itself and the layers below it, so that it can be read and tested without the others.`,
  severity: 'error',
  from: { path: `^src/${layer}/` },
  to: { path: `^src/(${LAYERS.slice(index + 1).join('|')}|index\\.ts)(/|$)` },
}));

const chapters = CHAPTERS.map((chapter) => ({
  name: `no-sideways-import-from-${chapter}`,
  comment: 'Chapters do not import each other; what two of them share is a plain record in workshop/process.',
  severity: 'error',
  from: { path: `^src/workshop/${chapter}/` },
  to: { path: `^src/workshop/(book|demo|${CHAPTERS.filter((other) => other !== chapter).join('|')})/` },
}));

module.exports = {
  forbidden: [
    ...upward,
    ...chapters,
    {
      name: 'no-cycle',
      comment: 'A cycle cannot be understood one file at a time.',
      severity: 'error',
      from: { path: '^src/' },
      to: { circular: true },
    },
    {
      name: 'shared-records-stand-below-chapters',
      comment: 'process and facts are what chapters share; they know no chapter.',
      severity: 'error',
      from: { path: '^src/workshop/(process|facts)/' },
      to: { path: `^src/workshop/(book|demo|${CHAPTERS.join('|')})/` },
    },
    {
      name: 'engine-does-no-io',
      comment: 'The engine runs in a worker thread, in a browser and in a test alike.',
      severity: 'error',
      from: { path: '^src/(base|mesh|geometry|workshop|documents)/' },
      to: { dependencyTypes: ['core'] },
    },
    {
      name: 'page-talks-http-only',
      comment: 'The page knows the server by its schemas in app/api.',
      severity: 'error',
      from: { path: '^src/app/web/' },
      to: { path: '^src/(store|app/(server|cli|worker))/' },
    },
    {
      name: 'one-door-to-the-solid-kernel',
      comment: 'Only geometry/solid and the engine thread know the kernel package.',
      severity: 'error',
      from: { path: '^src/', pathNot: '^src/(geometry/solid/|app/worker/engine-thread)' },
      to: { path: 'manifold-3d' },
    },
    {
      name: 'nothing-unresolved',
      comment: 'An import that leads nowhere is a mistake.',
      severity: 'error',
      from: { path: '^src/' },
      to: { couldNotResolve: true },
    },
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: 'tsconfig.json' },
    enhancedResolveOptions: {
      exportsFields: ['exports'],
      conditionNames: ['import', 'require', 'node', 'default', 'types'],
      extensions: ['.ts', '.tsx', '.js', '.mjs', '.json'],
    },
    builtInModules: { add: [] },
  },
};
