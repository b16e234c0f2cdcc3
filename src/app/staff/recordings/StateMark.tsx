import type { SentenceState } from '../../recordings';
import styles from './Recordings.module.css';
import { stateNames } from './words';

const marks: Record<SentenceState, string> = { voice: '○', recorded: '●', outdated: '!' };

export function StateMark({ state }: { state: SentenceState }) {
  return (
    <span className={styles[state]}>
      <span aria-hidden="true">{marks[state]}</span> {stateNames[state]}
    </span>
  );
}
