import type { OfflineState } from '../offline/keep';
import styles from './Staff.module.css';

/** Which version is on the screen, and whether the kiosk would start without its server. */
export function Version({ offline }: { offline: OfflineState }) {
  const { version, problem } = offline;
  return (
    <p className={styles.caption} role="status">
      {version && `Ownwords ${version}. `}
      {sentence(offline)}
      {problem && ` ${problem}`}
    </p>
  );
}

function sentence({ copy, stored, files, waiting }: OfflineState): string {
  if (waiting) return 'A newer version is stored; it comes into use once nobody is in a visit.';
  if (copy === 'whole') return 'The program is stored on this device, so it works without a network.';
  if (copy === 'storing') return `Storing the program on this device: ${stored} of ${files} files.`;
  if (copy === 'broken') return 'The program is not stored on this device, so it needs its server.';
  return 'The program is not stored on this device.';
}
