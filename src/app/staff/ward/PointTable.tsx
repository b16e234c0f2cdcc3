import type { Share } from '../../../records/ward/share';
import { Bar } from './Bar';
import type { PointRow } from './tables';
import styles from './Ward.module.css';
import { interval, told } from './words';

const columns = [
  { id: 'point', width: 22.5 },
  { id: 'missed drawn', width: 14 },
  { id: 'missed', width: 12 },
  { id: 'opposite', width: 8.5 },
  { id: 'after drawn', width: 14 },
  { id: 'after', width: 12 },
  { id: 'person', width: 8 },
  { id: 'answers', width: 9 },
];

/** Each point with its two shares, drawn and in figures. */
export function PointTable({ rows, recheck }: { rows: readonly PointRow[]; recheck: boolean }) {
  return (
    <table className={`${styles.figures} ${styles.points}`}>
      <colgroup>
        {columns.map(({ id, width }) => (
          <col key={id} style={{ inlineSize: `${width}%` }} />
        ))}
      </colgroup>
      <thead>
        <tr>
          <th scope="col">Point</th>
          <th scope="col" colSpan={2}>
            {recheck ? 'Not said when asked once more' : 'Not said at the first question'}
          </th>
          <th scope="col">Said the other way round</th>
          <th scope="col" colSpan={2}>
            Said after teaching again
          </th>
          <th scope="col">Left for a person</th>
          <th scope="col">Answers until said (median)</th>
        </tr>
        <tr>
          <td />
          <Axis />
          <td colSpan={2} />
          <Axis />
          <td colSpan={3} />
        </tr>
      </thead>
      <tbody>
        {rows.map(({ concept, label, weight, missed, opposite, after, person, answers }) => (
          <tr key={concept}>
            <th scope="row">
              {label}
              <span className={styles.weight}>{weight}</span>
            </th>
            <Shares share={missed} kind="missed" />
            <td>{missed.n > 0 ? opposite.toLocaleString('en') : '–'}</td>
            <Shares share={after} kind="after" />
            <td>{person.toLocaleString('en')}</td>
            <td>{answers ?? '–'}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Shares({ share, kind }: { share: Share; kind: 'missed' | 'after' }) {
  return (
    <>
      <td>
        <Bar share={share} kind={kind} />
      </td>
      <td>
        {told(share)}
        <span className={styles.interval}>{interval(share)}</span>
      </td>
    </>
  );
}

/** For the eye, as the bars below it. */
const Axis = () => (
  <td>
    <div className={styles.axis} aria-hidden="true">
      <span>0</span>
      <span>50</span>
      <span>100{'\u00a0'}%</span>
    </div>
  </td>
);
