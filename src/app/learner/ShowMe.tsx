import { useState } from 'react';
import { fill } from '../../../machines/script';
import { Action } from '../shared/Action';
import { unbroken } from '../shared/unbroken';
import { useWords } from '../shared/words';
import { Progress, Screen } from './Screen';
import styles from './ShowMe.module.css';
import type { ScreenProps } from './Talk';

/** The return demonstration: hands cannot be heard, so the clinician ticks what is seen, one point after the other. */
export function ShowMe({ view, send, points }: ScreenProps & { points: { id: string; text: string }[] }) {
  const words = useWords();
  const [seen, setSeen] = useState<Record<string, boolean>>({});
  const [index, setIndex] = useState(0);
  const point = points[index];
  const tick = (id: string, shown: boolean) => {
    setSeen({ ...seen, [id]: shown });
    send({ type: 'SHOWN', point: id, shown });
    setIndex(index + 1);
  };
  return (
    <Screen
      view={view}
      send={send}
      titled
      progress={
        <Progress
          title={words.showMeTitle}
          where={fill(words.pageOf, {
            index: `${Math.min(index + 1, points.length)}`,
            count: `${points.length}`,
          })}
          index={index}
          count={points.length}
        />
      }
      main={
        <Action kind="main" icon="done" onPress={() => send({ type: 'GO_ON' })}>
          {words.showMeDone}
        </Action>
      }
      tools={
        <Action icon="back" kind="quiet" forStaff disabled={index === 0} onPress={() => setIndex(index - 1)}>
          {words.back}
        </Action>
      }
    >
      {point ? (
        <>
          <p data-captions className={index === 0 ? styles.lead : styles.leadBefore}>
            {unbroken(view.captions[0] ?? '')}
          </p>
          <h1 id="point" className={styles.point} aria-live="polite">
            {unbroken(point.text)}
          </h1>
          <fieldset className={styles.choice} aria-labelledby="point">
            <button
              type="button"
              data-for-staff
              aria-pressed={seen[point.id] === true}
              onClick={() => tick(point.id, true)}
            >
              {words.shown}
            </button>
            <button
              type="button"
              data-for-staff
              aria-pressed={seen[point.id] === false}
              onClick={() => tick(point.id, false)}
            >
              {words.notYet}
            </button>
          </fieldset>
          <p className={index === 0 ? styles.watchLater : styles.watch}>{words.showMeLead}</p>
        </>
      ) : (
        <h1 className={styles.point} aria-live="polite">
          {words.showMeAll}
        </h1>
      )}
    </Screen>
  );
}
