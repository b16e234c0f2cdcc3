import { useMemo, useState } from 'react';
import { overTime, pointFigures } from '../../../records/ward/figures';
import { dayOf, type PeriodKind, periodKinds } from '../../../records/ward/periods';
import { wilson } from '../../../records/ward/share';
import type { Ward, WardRead } from '../../desks/ward';
import { dayName } from '../../shared/dates';
import { Problem } from '../Problem';
import staff from '../Staff.module.css';
import { useAsked } from '../useAsked';
import { Choices } from './Choices';
import { chosen, daysOf, firstChoice } from './choice';
import { PointTable } from './PointTable';
import { mark, TimePlot } from './TimePlot';
import { type About, type PointRow, periodsCsv, pointsCsv } from './tables';
import styles from './Ward.module.css';
import { count, fewest, interval, periodName, told } from './words';

/** What is counted from the visits: by point, and over time. */
export function Figures({ ward, read, now = new Date() }: { ward: Ward; read: WardRead; now?: Date }) {
  const [choice, setChoice] = useState(() => firstChoice(read.visits));
  const [about, setAbout] = useState('');
  const { problem, done, ask, busy } = useAsked();
  const texts = ward.texts[choice.module];
  // biome-ignore lint/correctness/useExhaustiveDependencies: the time does not change while it is looked at
  const visits = useMemo(() => chosen(read.visits, choice, now), [read, choice]);
  const weights = useMemo(
    () =>
      Object.fromEntries(
        (texts?.module.steps ?? []).flatMap(({ concepts }) => concepts.map(({ id, weight }) => [id, weight])),
      ),
    [texts],
  );
  const label = (concept: string) => texts?.teaching.concepts[concept]?.label ?? concept;
  const points: PointRow[] = pointFigures(visits, Object.keys(weights))
    .map((figures) => ({ ...figures, label: label(figures.concept), weight: weights[figures.concept]! }))
    // By the lower end of the interval: a point that two of two missed is not the worst.
    .sort((a, b) => (wilson(b.missed)?.low ?? -1) - (wilson(a.missed)?.low ?? -1));
  const concept = about in weights ? about : null;
  const periods = overTime(visits, choice.by, concept, weights);
  const days = daysOf(choice, now);
  const ends = visits.map(({ at }) => dayOf(at)).sort();
  const shared: About = {
    ward: ward.nameOf(read),
    module: texts?.teaching.title ?? choice.module,
    visits: choice.recheck ? 're-checks' : 'first teaching',
    language: choice.language || 'all',
    from: days.from || (ends[0] ?? ''),
    to: days.to || (days.from ? dayOf(now) : (ends.at(-1) ?? '')),
  };
  const save = (what: string, text: string) =>
    ask(async () => {
      await ward.save(`ownwords-ward-${what}-${choice.module}-${dayOf(now)}.csv`, text);
      return 'The table was saved as a file.';
    });
  return (
    <>
      <Choices visits={read.visits} texts={ward.texts} choice={choice} onChoice={setChoice} />
      <p role="status">
        <strong>{count(visits.length, 'visit')}</strong>
        {ends.length > 0 && `, ${dayName(ends[0]!)} to ${dayName(ends.at(-1)!)}`}. {leftOut(read)}
      </p>
      <Problem text={problem} />
      <p role="status">{done}</p>
      {visits.length > 0 && (
        <>
          <h2>Point by point</h2>
          <p className={staff.caption}>
            Each count is of visits. Under it: between which shares the true one may lie ({interval95}, Wilson
            score interval). Sorted by the lower end of it, so that a few visits make no point the worst. Of
            fewer than {fewest} visits nothing is drawn. Helpful extras are not taught again.
          </p>
          <PointTable rows={points} recheck={choice.recheck} />
          <div className={staff.buttons}>
            <button type="button" disabled={busy} onClick={() => save('points', pointsCsv(shared, points))}>
              Save these points (CSV)
            </button>
          </div>
          <h2>Over time</h2>
          <div className={styles.choices}>
            <label>
              Point
              <select value={concept ?? ''} onChange={({ target }) => setAbout(target.value)}>
                <option value="">Any point that counts</option>
                {points.map((row) => (
                  <option key={row.concept} value={row.concept}>
                    {row.label}
                  </option>
                ))}
              </select>
            </label>
            <label>
              By
              <select
                value={choice.by}
                onChange={({ target }) => setChoice({ ...choice, by: target.value as PeriodKind })}
              >
                {periodKinds.map((kind) => (
                  <option key={kind}>{kind}</option>
                ))}
              </select>
            </label>
          </div>
          <p className={styles.legend}>
            <span>
              <Mark kind="missed" />{' '}
              {concept === null
                ? 'visits in which something was not said at the first question'
                : 'not said at the first question'}
            </span>
            <span>
              <Mark kind="after" />{' '}
              {concept === null
                ? 'visits in which all that was taught again was said then'
                : 'said after teaching again'}
            </span>
          </p>
          <TimePlot rows={periods} by={choice.by} />
          <table className={styles.figures}>
            <thead>
              <tr>
                <th scope="col">{choice.by === 'month' ? 'Month' : 'Week'}</th>
                <th scope="col">Visits</th>
                <th scope="col">Not said at the first question</th>
                <th scope="col">{interval95}</th>
                <th scope="col">Said after teaching again</th>
                <th scope="col">{interval95}</th>
              </tr>
            </thead>
            <tbody>
              {periods.map((period) => (
                <tr key={period.from}>
                  <th scope="row">{periodName(period, choice.by)}</th>
                  <td>{period.visits.toLocaleString('en')}</td>
                  <td>{told(period.missed)}</td>
                  <td className={styles.told}>{interval(period.missed)}</td>
                  <td>{told(period.after)}</td>
                  <td className={styles.told}>{interval(period.after)}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <div className={staff.buttons}>
            <button
              type="button"
              disabled={busy}
              onClick={() =>
                save(
                  `${choice.by}s`,
                  periodsCsv(shared, concept ? label(concept) : 'any that counts', periods),
                )
              }
            >
              Save these {choice.by}s (CSV)
            </button>
          </div>
        </>
      )}
    </>
  );
}

/** A figure and its sign stay together. */
const interval95 = '95\u00a0%';

const Mark = ({ kind }: { kind: 'missed' | 'after' }) => (
  <svg data-kind={kind} viewBox="0 0 20 20" aria-hidden="true">
    <path className={styles.point} d={mark(kind, 10, 10)} />
  </svg>
);

function leftOut({ left }: WardRead): string {
  const parts = [
    left.practice > 0 && count(left.practice, 'practice visit'),
    left.unfinished > 0 && `${count(left.unfinished, 'visit')} not finished`,
    left.unreadable > 0 && `${count(left.unreadable, 'visit')} that cannot be read`,
    left.invented > 0 && count(left.invented, 'invented visit'),
  ].filter((part) => part !== false);
  return parts.length > 0 ? `Left out: ${parts.join(', ')}.` : '';
}
