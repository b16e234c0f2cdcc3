import { useCallback, useEffect, useRef, useState } from 'react';
import { inventedWard } from '../../records/invented';
import type { Ward, WardRead } from '../desks/ward';
import { Problem } from './Problem';
import staff from './Staff.module.css';
import { useAsked } from './useAsked';
import { Figures } from './ward/Figures';
import styles from './ward/Ward.module.css';
import { count } from './ward/words';

/** Told no more often than this, as drawing takes time as well. */
const told = 10;
/** Of the sample, when nothing else is asked for. */
const sampleSize = 500;
const most = 10_000;

/** Which points are missed most, and how teaching again helps. */
export function WardPage({ ward, onBack }: { ward: Ward; onBack: () => void }) {
  const [read, setRead] = useState<WardRead | null>(null);
  const [progress, setProgress] = useState<{ what: string; done: number; of: number } | null>(null);
  /** What was pressed may be gone when its work is done. */
  const top = useRef<HTMLHeadingElement>(null);
  const leaving = useRef(new AbortController());
  const { busy, problem, ask } = useAsked();
  const tally = useCallback(async () => {
    const onProgress = (done: number, of: number) => {
      if (done % told === 0) setProgress({ what: 'Reading visits that are not counted yet', done, of });
    };
    setRead(await ward.read(onProgress, leaving.current.signal));
    setProgress(null);
  }, [ward]);
  // biome-ignore lint/correctness/useExhaustiveDependencies: once, when the screen opens
  useEffect(() => {
    const control = new AbortController();
    leaving.current = control;
    void ask(tally).catch(() => {});
    return () => control.abort();
  }, [tally]);
  const load = (visits: number) =>
    ask(async () => {
      const onProgress = (done: number) => setProgress({ what: 'Inventing visits', done, of: visits });
      await ward.loadSample(visits, onProgress, leaving.current.signal).finally(() => setProgress(null));
      await tally();
      top.current?.focus();
    });
  const erase = () =>
    ask(async () => {
      setProgress({ what: 'Erasing the invented visits', done: 0, of: 0 });
      await ward.eraseSample().finally(() => setProgress(null));
      setRead(null);
      await tally();
      top.current?.focus();
    });
  const empty = read !== null && read.visits.length === 0;
  return (
    <main className={staff.staff} data-screen="ward">
      <h1 ref={top} tabIndex={-1}>
        Ward
      </h1>
      <div className={staff.finding}>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </div>
      <Problem text={problem} />
      <p role="status">{progress ? `${progress.what}.` : ''}</p>
      {progress && progress.of > 0 && (
        <p>
          <progress
            className={styles.progress}
            aria-label={progress.what}
            value={progress.done}
            max={progress.of}
          />{' '}
          {progress.done.toLocaleString('en')} of {progress.of.toLocaleString('en')}
        </p>
      )}
      {read && (read.invented || read.left.invented > 0) && (
        <section className={styles.sample} aria-label="Invented visits">
          <p>
            {read.invented
              ? `These figures are of ${inventedWard}: nobody was taught, and nothing follows from them.`
              : `${count(read.left.invented, 'invented visit')} of ${inventedWard} are still on this device. They are not counted.`}
          </p>
          <div className={staff.buttons}>
            <button type="button" disabled={busy} onClick={erase}>
              Erase the invented visits
            </button>
          </div>
        </section>
      )}
      {empty && !progress && (
        <>
          <p>
            No visit that has ended is stored on this device, so there is nothing to count yet. Practice
            visits are never counted.
          </p>
          <Sample busy={busy} onLoad={load} />
        </>
      )}
      {read && !empty && <Figures ward={ward} read={read} />}
    </main>
  );
}

/** To try this screen. */
function Sample({ busy, onLoad }: { busy: boolean; onLoad: (visits: number) => void }) {
  const [visits, setVisits] = useState(sampleSize);
  return (
    <form
      className={staff.form}
      onSubmit={(event) => {
        event.preventDefault();
        onLoad(visits);
      }}
    >
      <fieldset>
        <legend>A sample to try this with</legend>
        <p className={staff.caption}>
          Invented visits of a ward called {inventedWard}. They can be erased with one press. They are never
          filed, and never counted together with real visits.
        </p>
        <label className={staff.field}>
          Number of visits
          <input
            className={styles.number}
            type="number"
            required
            min={1}
            max={most}
            value={visits}
            onChange={({ target }) => setVisits(target.valueAsNumber)}
          />
        </label>
        <div className={staff.buttons}>
          <button type="submit" disabled={busy}>
            Load a sample ward
          </button>
        </div>
      </fieldset>
    </form>
  );
}
