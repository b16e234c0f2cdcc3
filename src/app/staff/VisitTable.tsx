import { useEffect, useRef, useState } from 'react';
import type { OutboxView } from '../../fhir/outbox';
import { isInvented } from '../../records/invented';
import type { OutboxRow, VisitHeader } from '../../records/types';
import { dayOf } from '../../records/ward/periods';
import type { ShownFollowUp } from '../followOn';
import { shortTime } from '../shared/dates';
import styles from './Staff.module.css';

/** Where in the list staff are, kept while they look at one visit and come back. */
export interface Place {
  /** Only visits of this day and before, such as "2026-03-05"; empty: all. */
  until: string;
  shown: number;
  /** The visit that was looked at last. */
  opened: string;
}

/** Shown at first, and more with each press. */
const atOnce = 50;

/** The newest visits, more of them on demand, and older ones by their day. */
export function VisitTable({
  visits,
  outbox,
  place = { until: '', shown: 0, opened: '' },
  followUps = null,
  onOpen,
  onGoOn,
  onNext = () => {},
}: {
  /** Newest first. */
  visits: VisitHeader[];
  outbox: OutboxView | null;
  place?: Place | undefined;
  onOpen: (visit: string) => void;
  onGoOn: (visit: string) => void;
  /** What is to come after visits; null: not known yet. */
  followUps?: Map<string, ShownFollowUp> | null | undefined;
  /** Begins the next lesson of its sitting. */
  onNext?: ((visit: string) => void) | undefined;
}) {
  const [until, setUntil] = useState(place.until);
  const [shown, setShown] = useState(Math.max(place.shown, atOnce));
  const body = useRef<HTMLTableSectionElement>(null);
  const fresh = useRef<number | null>(null);
  useEffect(() => {
    // Where staff were before they looked at one.
    const row = body.current?.querySelector(`[data-visit="${place.opened}"]`);
    if (place.opened) row?.querySelector('button')?.focus();
  }, [place]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: once more rows are there
  useEffect(() => {
    if (fresh.current === null) return;
    body.current?.children[fresh.current]?.querySelector('button')?.focus();
    fresh.current = null;
  }, [shown]);
  const show = (day: string, count: number) => {
    setUntil(day);
    setShown(count);
    Object.assign(place, { until: day, shown: count });
  };
  const found = until ? visits.filter(({ startedAt }) => dayOf(startedAt) <= until) : visits;
  const rows = found.slice(0, shown);
  const open = (visit: string) => {
    place.opened = visit;
    onOpen(visit);
  };
  return (
    <>
      {visits.length > atOnce && (
        <div className={styles.finding}>
          <label>
            Show this day and before{' '}
            <input type="date" value={until} onChange={({ target }) => show(target.value, atOnce)} />
          </label>
          <p role="status">
            {rows.length === 0
              ? 'No visit is as old as that.'
              : `${rows.length.toLocaleString('en')} of ${visits.length.toLocaleString('en')} visits are shown, newest first.`}
          </p>
        </div>
      )}
      <table className={styles.table}>
        <tbody ref={body}>
          {rows.map((visit) => (
            <tr key={visit.visit} data-visit={visit.visit}>
              <td>{shortTime(visit.startedAt)}</td>
              <td>{visit.practice ? 'practice' : isInvented(visit.visit) && 'invented'}</td>
              <td>
                {visit.finished ?? 'not finished'}
                <Told followUp={followUps?.get(visit.visit)} />
              </td>
              {outbox && <td>{filed(outbox.rows.get(visit.visit))}</td>}
              <td>
                <div className={styles.doing}>
                  <button type="button" onClick={() => open(visit.visit)}>
                    Open
                  </button>
                  {!visit.finished && (
                    <button type="button" onClick={() => onGoOn(visit.visit)}>
                      Go on with it
                    </button>
                  )}
                  {followUps?.get(visit.visit)?.toCome && (
                    <button type="button" onClick={() => onNext(visit.visit)}>
                      Begin the next lesson
                    </button>
                  )}
                </div>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {found.length > rows.length && (
        <div className={styles.buttons}>
          <button
            type="button"
            onClick={() => {
              fresh.current = rows.length;
              show(until, shown + atOnce);
            }}
          >
            Show more
          </button>
        </div>
      )}
    </>
  );
}

/** What is to come after a visit. */
function Told({ followUp }: { followUp: ShownFollowUp | undefined }) {
  return (
    <>
      {followUp?.toCome && (
        <>
          <br />
          still to come: {followUp.title}
        </>
      )}
      {followUp?.recheck && (
        <>
          <br />
          {followUp.recheck.due ? (
            <strong className={styles.needsPerson}>
              re-check due since {shortTime(followUp.recheck.at)}: open it
            </strong>
          ) : (
            `re-check from ${shortTime(followUp.recheck.at)} on`
          )}
        </>
      )}
    </>
  );
}

/** How far one visit is. */
export function filed(row: OutboxRow | undefined): string {
  if (!row) return '';
  if (row.state === 'filed') return `filed in the record, ${shortTime(row.filedAt ?? '')}`;
  return row.state === 'held' ? 'not filed: open it' : 'waiting to be filed';
}
