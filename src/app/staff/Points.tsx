import { useRef, useState } from 'react';
import type { ConceptRecord } from '../../records/derive';
import { outcomeNames } from '../../records/outcome-names';
import type { SummaryRow } from '../../records/summary';
import { shortTime } from '../shared/dates';
import { Panel } from './Panel';
import styles from './Staff.module.css';
import { Tries } from './Tries';

const idOf = ({ step, concept }: { step: string; concept: string }) => `${step} ${concept}`;

/**
 * Every point with what was said, and a clinician's decision beside the judging. `rows` goes with `concepts`. The order
 * is that of the moment in which the review was opened: nothing moves away under whoever works through it.
 */
export function Points({ concepts, rows }: { concepts: ConceptRecord[]; rows: SummaryRow[] }) {
  const [order] = useState(() => concepts.map(idOf));
  const places = concepts.map((point, index) => ({ point, row: rows[index]! }));
  places.sort((a, b) => order.indexOf(idOf(a.point)) - order.indexOf(idOf(b.point)));
  return (
    <>
      <h2>Points</h2>
      <table className={styles.table}>
        <thead>
          <tr>
            <th>Point</th>
            <th>Outcome</th>
            <th>Said, with the words that decided it</th>
          </tr>
        </thead>
        <tbody>
          {places.map(({ point, row }) => (
            <Point key={idOf(point)} point={point} row={row} />
          ))}
        </tbody>
      </table>
    </>
  );
}

function Point({ point, row }: { point: ConceptRecord; row: SummaryRow }) {
  const [asks, setAsks] = useState<'decide' | 'take back' | null>(null);
  const button = useRef<HTMLButtonElement>(null);
  const close = () => {
    setAsks(null);
    // That of "Take it back" may be gone.
    button.current?.focus();
  };
  const { decision, outcome } = point;
  const color =
    outcome === 'needs-person'
      ? styles.needsPerson
      : outcome === 'not-asked' || outcome === 'not-said'
        ? ''
        : styles.learned;
  return (
    <>
      <tr className={asks ? styles.asking : undefined}>
        <td>
          <strong>{row.label}</strong>
          <br />
          {row.step}
          {row.weight === 'critical' && ' · critical'}
        </td>
        <td>
          <span className={`${styles.badge} ${color}`}>{outcomeNames[outcome]}</span>
          {decision && (
            <p className={styles.decision}>
              {decision.by.name}, {shortTime(decision.at)}: <q>{decision.reason}</q>
              <br />
              <span className={styles.caption}>The kiosk: {outcomeNames[point.judged]}.</span>
            </p>
          )}
          <div>
            <button
              ref={button}
              type="button"
              className={styles.quiet}
              aria-expanded={asks === 'decide'}
              aria-label={`Decide otherwise: ${row.label}`}
              onClick={() => setAsks(asks === 'decide' ? null : 'decide')}
            >
              Decide otherwise
            </button>
            {decision && (
              <button
                type="button"
                className={styles.quiet}
                aria-expanded={asks === 'take back'}
                aria-label={`Take it back: ${row.label}`}
                onClick={() => setAsks(asks === 'take back' ? null : 'take back')}
              >
                Take it back
              </button>
            )}
          </div>
        </td>
        <td>{point.answers.length > 0 ? <Tries point={point} /> : row.reason}</td>
      </tr>
      {asks && (
        <tr>
          <td colSpan={3}>
            {asks === 'decide' ? (
              <Decide point={point} label={row.label} onClose={close} />
            ) : (
              <Panel
                legend={`Take back the decision: ${row.label}`}
                submit="Take it back"
                done={`Taken back: ${row.label}.`}
                make={() => [{ type: 'decision-taken-back', concept: point.concept }]}
                onClose={close}
              >
                <p>What the kiosk judged counts again: {outcomeNames[point.judged]}.</p>
              </Panel>
            )}
          </td>
        </tr>
      )}
    </>
  );
}

/** A choice, and why. */
function Decide({ point, label, onClose }: { point: ConceptRecord; label: string; onClose: () => void }) {
  const { outcome, concept } = point;
  const understood = outcome === 'first-try' || outcome === 'after-reteach' || outcome === 'confirmed';
  return (
    <Panel
      legend={`Decide otherwise: ${label}`}
      submit="Decide so"
      done={`Decided: ${label}.`}
      make={(word) => {
        const reason = word('reason').trim();
        if (!reason) throw new Error('Write why: it stands in the note beside the decision.');
        const decision = word('decision') === 'understood' ? 'understood' : 'needs-person';
        return [{ type: 'decided', concept, decision, reason }];
      }}
      onClose={onClose}
    >
      <div className={styles.row} role="radiogroup" aria-label="The learner">
        <label>
          <input type="radio" name="decision" value="understood" defaultChecked={!understood} /> Understood
        </label>
        <label>
          <input type="radio" name="decision" value="needs-person" defaultChecked={understood} /> Needs a
          person: to be gone over again
        </label>
      </div>
      <label className={styles.field}>
        Why
        <input name="reason" required maxLength={400} autoComplete="off" />
      </label>
    </Panel>
  );
}
