import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

export interface Identity {
  key: string;
  cert: string;
  files: { key: string; certificate: string };
}

export interface Certificates {
  /** The authority's own certificate. */
  authority: { file: string; text: string };
  /** A key, and a certificate for a name, signed by the authority. */
  of(name: string): Identity;
}

/** An authority made for one test in a folder, by the openssl of this machine. */
export function makeCertificates(folder: string): Certificates {
  const openssl = (...args: string[]) => execFileSync('openssl', args, { cwd: folder, stdio: 'pipe' });
  const newKey = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:P-256', '-nodes'];
  const file = join(folder, 'authority.crt');
  openssl('req', '-x509', ...newKey, '-subj', '/CN=Test', '-keyout', 'authority.key', '-out', file);
  return {
    authority: { file, text: readFileSync(file, 'utf8') },
    of(name) {
      const at = (ending: string) => join(folder, `${name}.${ending}`);
      const files = { key: at('key'), certificate: at('crt') };
      openssl('req', ...newKey, '-subj', `/CN=${name}`, '-keyout', files.key, '-out', at('csr'));
      writeFileSync(at('ext'), `subjectAltName=DNS:${name}\n`);
      openssl(
        ...['x509', '-req', '-in', at('csr'), '-CA', file, '-CAkey', 'authority.key', '-CAcreateserial'],
        ...['-days', '2', '-extfile', at('ext'), '-out', files.certificate],
      );
      return { key: readFileSync(files.key, 'utf8'), cert: readFileSync(files.certificate, 'utf8'), files };
    },
  };
}
