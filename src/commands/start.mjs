import { build, dist, installModules, nodeProblem } from './prepare.mjs';

/* npm start: from a fresh clone to the running kiosk. Needs the network once, to install. */

const port = Number(process.env.PORT || 4173);

/** @param {string} message */
function stop(message) {
  console.error(message);
  process.exit(1);
}

const problem = nodeProblem();
if (problem) stop(problem);
if (!Number.isInteger(port) || port < 1 || port > 65535) {
  stop(`PORT must be a number from 1 to 65535, not "${process.env.PORT}".`);
}
if (!installModules()) stop('Ownwords is not installed, so it cannot start.');

const { portIsFree, serve } = await import('./serve.mjs');
const portInUse =
  `Port ${port} is in use. If Ownwords already runs, open http://localhost:${port}. If not, end the program ` +
  `that has the port, or choose another: PORT=${port === 65535 ? 4173 : port + 1} npm start`;
// Before the build: whoever has it running already should not wait to learn so.
if (!(await portIsFree(port))) stop(portInUse);
if (!build()) stop('The app could not be built; the lines above say why.');

const server = await serve({ folder: dist, port }).catch((error) => {
  if (error.code === 'EADDRINUSE') stop(portInUse); // taken while we built
  throw error;
});
console.log(`Ownwords is at ${server.address} (on this machine only). Ctrl-C ends it.`);
for (const signal of ['SIGINT', 'SIGTERM']) {
  process.once(signal, async () => {
    await server.close();
    process.exit(0);
  });
}
