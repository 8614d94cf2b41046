// The shaders of the figure: toned surfaces with hatching, then lines found in depth, then strokes given as segments.

/** Piece surfaces: into a picture of tones and a picture of directions (with the piece's number). */
export const SURFACE_VERTEX = /* glsl */ `
precision highp float;
in vec3 position;
in vec3 normal;
in float hidden;
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
uniform mat3 normalMatrix;
uniform vec3 hollow;
out vec3 vNormal;
out vec3 vLocal;
out float vInside;
out float vHidden;
void main() {
  vHidden = hidden;
  vNormal = normalMatrix * normal;
  vLocal = position;
  vInside = -dot(normalize(position - hollow), normal);
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;

export const SURFACE_FRAGMENT = /* glsl */ `
precision highp float;
layout(location = 0) out vec4 outTone;
layout(location = 1) out vec4 outWay;
in vec3 vNormal;
in vec3 vLocal;
in float vInside;
in float vHidden;
uniform float hiddenStep;
uniform vec3 tone;
uniform vec3 steps;
uniform vec3 hatch;
uniform float hatchStrength;
uniform vec3 hatchAxis;
uniform float hatchMm;
uniform vec3 paper;
uniform float setBack;
uniform float id;
uniform float twoSided;
const vec3 LIGHT = normalize(vec3(-0.42, 0.62, 0.86));

float strokes(float spacing, float width) {
  float at = dot(vLocal, hatchAxis) / spacing;
  float perTexel = fwidth(at);
  float away = abs(fract(at) - 0.5) / max(perTexel, 1e-6);
  // Where strokes would run together they turn into an even tone.
  return (1.0 - smoothstep(width, width + 1.0, away)) * (1.0 - smoothstep(0.28, 0.5, perTexel));
}

void main() {
  vec3 n = normalize(vNormal);
  float inside = smoothstep(0.2, 0.4, vInside);
  // Of an open surface the back is seen too: it is toned as what faces the hollow.
  if (twoSided > 0.5 && !gl_FrontFacing) {
    n = -n;
    inside = 1.0;
  }
  float lit = dot(n, LIGHT);
  lit -= 0.25 * inside;
  float half_ = 1.0 - smoothstep(0.36, 0.46, lit);
  float full = 1.0 - smoothstep(-0.02, 0.10, lit);
  vec3 colour = tone * mix(mix(1.0, steps.x, half_), steps.y, full) * mix(1.0, steps.z, inside);
  colour *= mix(1.0, hiddenStep, vHidden);
  float line = max(strokes(hatchMm, 0.45) * full, strokes(hatchMm * 2.0, 0.3) * half_ * 0.55);
  colour = mix(colour, hatch, line * hatchStrength);
  outTone = vec4(mix(colour, paper, setBack * 0.72), 1.0);
  outWay = vec4(n * 0.5 + 0.5, id / 255.0);
}`;

export const SCREEN_VERTEX = /* glsl */ `
precision highp float;
in vec3 position;
out vec2 vUv;
void main() {
  vUv = position.xy * 0.5 + 0.5;
  gl_Position = vec4(position.xy, 0.0, 1.0);
}`;

/** Heavy outlines against nothing, lighter ones where something lies before something else, and shade in the corners. The quick one
 *  looks to four sides instead of twelve, once instead of twice, and leaves the corners out: a fifth of the work. */
export const linesFragment = (how: 'careful' | 'quick'): string => /* glsl */ `
precision highp float;
uniform sampler2D tones;
uniform sampler2D ways;
uniform sampler2D depths;
uniform vec2 texel;
uniform float depthMm;
uniform float mmPerTexel;
uniform float heavy;
uniform float fine;
uniform float corner;
uniform vec3 ink;
in vec2 vUv;
out vec4 outColour;
const int SIDES = ${how === 'careful' ? 12 : 4};
const bool CAREFUL = ${how === 'careful'};

float depthAt(vec2 uv) { return texture(depths, uv).r * depthMm; }

/** How far the neighbour stands before the plane of this point, mm. */
float before(vec2 offset, vec3 n, float depth) {
  float there = depthAt(vUv + offset * texel);
  float plane = depth + dot(n.xy, offset) * mmPerTexel / max(n.z, 0.22);
  return plane - there;
}

void main() {
  vec4 way = texture(ways, vUv);
  float depth = depthAt(vUv);
  gl_FragDepth = depth / depthMm;
  vec3 n = way.xyz * 2.0 - 1.0;
  float outer = 0.0;
  float inner = 0.0;
  // Near the rim the plane of a point says little about its neighbours.
  float steep = sqrt(1.0 - n.z * n.z) / max(n.z, 0.12);
  float stands = max(1.3, 2.4 * fine * mmPerTexel) + 1.1 * fine * mmPerTexel * steep;
  for (int i = 0; i < SIDES; i++) {
    float turn = float(i) * 6.2831853 / float(SIDES);
    vec2 dir = vec2(cos(turn), sin(turn));
    if (way.a == 0.0) {
      outer = max(outer, step(0.001, texture(ways, vUv + dir * heavy * texel).a));
      if (CAREFUL) outer = max(outer, step(0.001, texture(ways, vUv + dir * heavy * 0.5 * texel).a));
    } else {
      vec2 offset = dir * fine;
      inner = max(inner, step(stands, before(offset, n, depth)));
    }
  }
  if (way.a == 0.0) {
    outColour = vec4(ink, 1.0) * outer;
    return;
  }
  vec3 colour = texture(tones, vUv).rgb;
  if (CAREFUL) {
    float shade = 0.0;
    for (int i = 0; i < 18; i++) {
      float turn = float(i) * 2.399963;
      vec2 offset = vec2(cos(turn), sin(turn)) * corner * sqrt((float(i) + 0.7) / 18.0);
      float gap = before(offset, n, depth);
      shade += smoothstep(1.0, 9.0, gap) * (1.0 - smoothstep(50.0, 110.0, gap));
    }
    colour *= 1.0 - 0.3 * smoothstep(0.08, 0.75, shade / 18.0);
  }
  outColour = vec4(mix(colour, ink, inner), 1.0);
}`;

/** Strokes from segments a-b, drawn as quads, of one width but for those that are wider. Where a geometry has no such numbers they are 0. */
export const STROKE_VERTEX = /* glsl */ `
precision highp float;
in vec2 position;
in vec3 from;
in vec3 to;
in float wider;
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
uniform vec2 halfSize;
uniform float width;
uniform float liftMm;
out float vAlong;
void main() {
  vec4 a = modelViewMatrix * vec4(from, 1.0);
  vec4 b = modelViewMatrix * vec4(to, 1.0);
  a.z += liftMm;
  b.z += liftMm;
  vec4 ca = projectionMatrix * a;
  vec4 cb = projectionMatrix * b;
  vec2 along = (cb.xy - ca.xy) * halfSize;
  float size = length(along);
  along = size > 0.0 ? along / size : vec2(1.0, 0.0);
  vec2 across = vec2(-along.y, along.x);
  vec4 c = mix(ca, cb, position.x);
  // what is very wide lies across its line: it is not drawn out along it
  float ends = wider > 3.0 ? 0.0 : position.x - 0.5;
  c.xy += (across * position.y + along * ends) * 0.5 * max(1.0, width * (1.0 + wider)) / halfSize;
  vAlong = position.x * size;
  gl_Position = c;
}`;

export const STROKE_FRAGMENT = /* glsl */ `
precision highp float;
uniform vec3 colour;
uniform vec3 paper;
uniform float setBack;
uniform float dash;
in float vAlong;
out vec4 outColour;
void main() {
  if (dash > 0.0 && fract(vAlong / dash) > 0.6) discard;
  outColour = vec4(mix(colour, paper, setBack * 0.65), 1.0);
}`;

/** Which piece is seen where, and at which of its own points: for the labels. */
export const PICK_VERTEX = /* glsl */ `
precision highp float;
in vec3 position;
uniform mat4 modelViewMatrix;
uniform mat4 projectionMatrix;
out vec3 vLocal;
void main() {
  vLocal = position;
  gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0);
}`;

export const PICK_FRAGMENT = /* glsl */ `
precision highp float;
in vec3 vLocal;
uniform float id;
out vec4 outPick;
void main() { outPick = vec4(id, vLocal); }`;
