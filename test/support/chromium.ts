// How Chromium is started here: without its own network traffic, with a software renderer for the figure.
export const CHROMIUM_FLAGS: readonly string[] = [
  '--no-sandbox',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--ignore-gpu-blocklist',
];
