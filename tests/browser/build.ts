import { build } from '../../src/commands/prepare.mjs';

/** Before the browser tests: they drive the built app, so it must be that of the present sources. */
export default function setup() {
  if (!build()) throw new Error('The app could not be built; the lines above say why.');
}
