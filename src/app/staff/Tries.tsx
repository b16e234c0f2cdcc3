import { Fragment } from 'react';
import type { ConceptAnswer, ConceptRecord } from '../../records/derive';
import { earNames } from '../../records/engines';
import { marked } from './marked';
import styles from './Staff.module.css';

const labelNames = {
  understood: 'said it',
  partial: 'said a part of it',
  missed: 'did not say it',
  misconception: 'said something that goes against it',
} as const;

const by = ({ mode, engine }: ConceptAnswer): string =>
  mode === 'touch' ? 'by cards' : mode === 'typed' ? 'typed' : engine ? earNames[engine] : 'by voice';

const percent = (share: number) => `${Math.round(100 * share)}\u00a0%`;

/** What was said about one point, try after try, with the words that decided it marked. */
export function Tries({ point }: { point: ConceptRecord }) {
  if (point.answers.length === 0) return null;
  return (
    <ol className={styles.tries}>
      {point.answers.map((answer) => (
        <li key={answer.seq}>
          {answer.heard === '' ? (
            '(what was said is lost)'
          ) : (
            <q>
              {marked(answer.heard, answer.finding.evidence).map((stretch, i) => {
                const Tag = stretch.marked ? 'mark' : Fragment;
                // biome-ignore lint/suspicious/noArrayIndexKey: stretches of one text, which never changes
                return <Tag key={i}>{stretch.text}</Tag>;
              })}
            </q>
          )}
          <span className={styles.caption}>
            {' '}
            {labelNames[answer.finding.label]}, {percent(answer.finding.confidence)} sure; {by(answer)}.{' '}
            {answer.finding.reason}
          </span>
        </li>
      ))}
    </ol>
  );
}
