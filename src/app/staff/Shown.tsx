import type { VisitRecord } from '../../records/derive';
import { shortTime } from '../shared/dates';
import { Panel, useOpened } from './Panel';
import styles from './Staff.module.css';

/** What the hands showed, in the visit and since. */
export function Shown({ record: { showMe } }: { record: VisitRecord }) {
  const { open, button, close } = useOpened();
  if (showMe.length === 0) return null;
  return (
    <>
      <h2>Showed it</h2>
      <ul className={styles.list}>
        {showMe.map(({ point, text, shown, later }) => (
          <li key={point}>
            {text}{' '}
            <strong className={shown === null ? styles.caption : shown ? styles.learned : styles.needsPerson}>
              {shown === null ? 'not watched' : shown ? 'shown' : 'not yet'}
            </strong>
            {later && (
              <span className={styles.caption}>
                {' '}
                after the visit, {later.by.name}, {shortTime(later.at)}
              </span>
            )}
          </li>
        ))}
      </ul>
      <button {...button}>Tick what you saw after the visit</button>
      {open && (
        <Panel
          legend="What you saw after the visit"
          submit="Keep it"
          done="What you saw is kept."
          make={(word) =>
            showMe.flatMap(({ point, shown }, index) => {
              const seen = word(`seen-${index}`);
              if (!seen || (seen === 'yes') === shown) return [];
              return [{ type: 'show-me' as const, point, shown: seen === 'yes' }];
            })
          }
          onClose={close}
        >
          {showMe.map(({ point, text, shown }, index) => (
            <div key={point} className={styles.row} role="radiogroup" aria-label={text}>
              <span className={styles.asked}>{text}</span>
              <label>
                <input type="radio" name={`seen-${index}`} value="yes" defaultChecked={shown === true} />{' '}
                shown
              </label>
              <label>
                <input type="radio" name={`seen-${index}`} value="no" defaultChecked={shown === false} /> not
                yet
              </label>
            </div>
          ))}
        </Panel>
      )}
    </>
  );
}
