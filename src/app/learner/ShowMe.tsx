import { useState } from 'react';
import { Action } from '../shared/Action';
import { useWords } from '../shared/words';
import { Screen } from './Screen';
import styles from './ShowMe.module.css';
import type { ScreenProps } from './Talk';

/** The return demonstration: hands cannot be heard, so the clinician ticks what is seen. */
export function ShowMe({ view, send, points }: ScreenProps & { points: { id: string; text: string }[] }) {
  const words = useWords();
  const [seen, setSeen] = useState<Record<string, boolean>>({});
  const tick = (point: string, shown: boolean) => {
    setSeen({ ...seen, [point]: shown });
    send({ type: 'SHOWN', point, shown });
  };
  return (
    <Screen
      view={view}
      send={send}
      titled
      main={
        <Action kind="main" icon="done" onPress={() => send({ type: 'GO_ON' })}>
          {words.showMeDone}
        </Action>
      }
    >
      <h1 className={styles.title}>{words.showMeTitle}</h1>
      <p data-captions>{view.captions[0]}</p>
      <p className={styles.lead}>{words.showMeLead}</p>
      <ul className={styles.points}>
        {points.map((point) => (
          <li key={point.id} className={styles.point}>
            <span id={`show-${point.id}`}>{point.text}</span>
            <fieldset className={styles.choice} aria-labelledby={`show-${point.id}`}>
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
          </li>
        ))}
      </ul>
    </Screen>
  );
}
