import { useEffect, useRef, useState } from 'react';
import type { OutboxView } from '../../fhir/outbox';
import { isInvented, isMadeUp } from '../../records/invented';
import type { OutboxRow, VisitHeader } from '../../records/types';
import { dayOf } from '../../records/ward/periods';
import type { ShownFollowUp } from '../desks/followOn';
import { shortTime } from '../shared/dates';
import styles from './Staff.module.css';

/** Where in the list staff are, kept while they look at one visit and come back. */
export interface Place {
  /** Only visits of this day and before, such as "2026-03-05"; empty: all. */
  until: string;
  /** Only visits that are still to be signed. */
  toSign: boolean;
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
  place = { until: '', toSign: false, shown: 0, opened: '' },
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
  const [toSign, setToSign] = useState(place.toSign);
  const [shown, setShown] = useState(Math.max(place.shown, atOnce));
  const body = useRef<HTMLTableSectionElement>(null);
  const only = useRef<HTMLInputElement>(null);
  const fresh = useRef<number | null>(null);
  useEffect(() => {
    if (!place.opened) return;
    // Where staff were before they looked at one. Signed, it may not be in the list any more.
    const row = body.current?.querySelector(`[data-visit="${place.opened}"]`);
    (row?.querySelector('button') ?? only.current)?.focus();
  }, [place]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: once more rows are there
  useEffect(() => {
    if (fresh.current === null) return;
    body.current?.children[fresh.current]?.querySelector('button')?.focus();
    fresh.current = null;
  }, [shown]);
  const show = (change: Partial<Place>) => {
    const next = { until, toSign, shown: atOnce, ...change };
    setUntil(next.until);
    setToSign(next.toSign);
    setShown(next.shown);
    Object.assign(place, next);
  };
  const unsigned = visits.filter((visit) => waitsForSignature(visit));
  const all = toSign ? unsigned : visits;
  const found = until ? all.filter(({ startedAt }) => dayOf(startedAt) <= until) : all;
  const rows = found.slice(0, shown);
  const open = (visit: string) => {
    place.opened = visit;
    onOpen(visit);
  };
  return (
    <>
      {(visits.length > atOnce || unsigned.length > 0 || toSign) && (
        <div className={styles.finding}>
          {(unsigned.length > 0 || toSign) && (
            <label>
              <input
                type="checkbox"
                ref={only}
                checked={toSign}
                onChange={({ target }) => show({ toSign: target.checked })}
              />{' '}
              Only visits still to be signed ({unsigned.length.toLocaleString('en')})
            </label>
          )}
          {visits.length > atOnce && (
            <label>
              Show this day and before{' '}
              <input type="date" value={until} onChange={({ target }) => show({ until: target.value })} />
            </label>
          )}
          <p role="status">
            {rows.length > 0
              ? `Shown: ${rows.length.toLocaleString('en')} of ${counted(all.length)}, newest first.`
              : all.length > 0
                ? 'No visit is as old as that.'
                : 'All visits that have ended are signed.'}
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
              <td>{signing(visit)}</td>
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
              show({ shown: shown + atOnce });
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

const counted = (visits: number) => `${visits.toLocaleString('en')} ${visits === 1 ? 'visit' : 'visits'}`;

/** Nobody signs for an invented learner, or for a visit that goes on. */
const waitsForSignature = (visit: VisitHeader): boolean =>
  visit.finished !== null && !isMadeUp(visit) && visit.signed !== 'yes';

/** How far one visit is signed. */
function signing(visit: VisitHeader) {
  if (!waitsForSignature(visit)) return visit.signed === 'yes' && 'signed';
  if (visit.signed === undefined) return 'open it to see whether it is signed';
  const how = visit.signed === 'no' ? 'not signed' : 'changed since it was signed';
  return <strong>{how}</strong>;
}

/** How far one visit is filed. */
export function filed(row: OutboxRow | undefined): string {
  if (!row) return '';
  if (row.state === 'filed') return `filed in the record, ${shortTime(row.filedAt ?? '')}`;
  return row.state === 'held' ? 'not filed: open it' : 'waiting to be filed';
}
