import { createServer } from 'node:http';
import { resolve } from 'node:path';
import sirv from 'sirv';

const contentSecurityPolicy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "style-src 'self'",
  "img-src 'self'",
  "connect-src 'self'",
  "worker-src 'self'",
  "manifest-src 'self'",
  "media-src 'self' blob:",
  "font-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
  "object-src 'none'",
].join('; ');

/** On every answer, errors included. Nothing may leave this origin, and only the microphone may be used. */
export const headers = {
  'Content-Security-Policy': contentSecurityPolicy,
  'Permissions-Policy':
    'microphone=(self), on-device-speech-recognition=(self), camera=(), geolocation=(), display-capture=()',
  'X-Content-Type-Options': 'nosniff',
  'Referrer-Policy': 'no-referrer',
};

/** Dot files, ways out of the folder, and addresses that cannot be read. */
function isHidden(url) {
  try {
    return /[/\\]\./.test(decodeURIComponent(url.split('?', 1)[0] ?? ''));
  } catch {
    return true;
  }
}

/**
 * Answers requests from a built app. Not compressed: over loopback that costs more time than it saves.
 * @param {string} folder
 * @returns {import('node:http').RequestListener}
 */
function answerFrom(folder) {
  const files = sirv(folder, {
    // Looks at the folder anew each time: a build while we serve must not end in a file that is gone.
    dev: true,
    etag: true,
    extensions: ['html'],
    setHeaders(res, path) {
      // Names under assets/ carry a hash of their content; everything else is asked for again.
      res.setHeader(
        'Cache-Control',
        path.startsWith('/assets/') ? 'public, max-age=31536000, immutable' : 'no-cache',
      );
      // Model files have endings that no registry knows. An empty type would go against nosniff.
      if (
        !/\.(html|js|mjs|css|json|webmanifest|svg|png|jpg|webp|ico|wasm|woff2?|txt|map|wav|mp3|ogg|opus|m4a|pdf)$/.test(
          path,
        ) &&
        !path.endsWith('/')
      ) {
        res.setHeader('Content-Type', 'application/octet-stream');
      }
    },
  });
  return (req, res) => {
    for (const [name, value] of Object.entries(headers)) res.setHeader(name, value);
    if (req.method !== 'GET' && req.method !== 'HEAD') {
      res.writeHead(405, { Allow: 'GET, HEAD', 'Content-Type': 'text/plain' }).end('Only GET and HEAD.\n');
      return;
    }
    // The page itself must never stand in for a missing file: the recogniser probes for optional ones.
    const missing = () => res.writeHead(404, { 'Content-Type': 'text/plain' }).end('Not found.\n');
    if (isHidden(req.url ?? '/')) missing();
    else files(req, res, missing);
  };
}

/** @param {import('node:http').Server} server */
function listen(server, port, host) {
  return new Promise((done, fail) => {
    server.once('error', fail);
    server.listen({ port, host }, () => {
      server.off('error', fail);
      done(undefined);
    });
  });
}

/** @param {import('node:http').Server} server */
function close(server) {
  return new Promise((done) => {
    server.close(done);
    server.closeAllConnections();
  });
}

/**
 * Can we have this port on both loopback addresses?
 * @param {number} port
 * @returns {Promise<boolean>}
 */
export async function portIsFree(port) {
  for (const host of ['127.0.0.1', '::1']) {
    const server = createServer();
    try {
      await listen(server, port, host);
      await close(server);
    } catch (error) {
      if (error.code === 'EADDRINUSE') return false;
    }
  }
  return true;
}

/**
 * Serves a folder on this machine only (127.0.0.1 and, where there is one, ::1).
 * Rejects with code EADDRINUSE when something else has the port.
 * @param {{ folder: string, port: number }} options port 0: any free one
 * @returns {Promise<{ port: number, address: string, close: () => Promise<void> }>}
 */
export async function serve({ folder, port }) {
  const answer = answerFrom(resolve(folder));
  const first = createServer(answer);
  await listen(first, port, '127.0.0.1');
  const bound = /** @type {import('node:net').AddressInfo} */ (first.address()).port;
  const servers = [first];
  const second = createServer(answer);
  try {
    await listen(second, bound, '::1');
    servers.push(second);
  } catch (error) {
    // A machine without IPv6 is no reason to stop; somebody else on ::1 is, browsers may try it first.
    if (error.code === 'EADDRINUSE') {
      await close(first);
      throw error;
    }
  }
  return {
    port: bound,
    address: `http://localhost:${bound}`,
    close: async () => {
      await Promise.all(servers.map(close));
    },
  };
}
