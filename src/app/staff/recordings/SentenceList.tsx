import { memo } from 'react';
import type { ListedSentence } from '../../recordings';
import { inParts } from './choice';
import styles from './Recordings.module.css';
import { StateMark } from './StateMark';

const inSight = (item: HTMLElement | null) => item?.scrollIntoView({ block: 'nearest' });

/**
 * Arrow keys go from sentence to sentence: they are one group of radio buttons, under a heading each part. Long, so it
 * is drawn again only when something in it changes, not with each level of the microphone.
 */
export const SentenceList = memo(function SentenceList({
  sentences,
  chosen,
  language,
  onChoose,
}: {
  sentences: ListedSentence[];
  chosen: string;
  language: string;
  onChoose: (key: string) => void;
}) {
  return inParts(sentences).map(({ name, english, sentences }) => (
    <fieldset key={name} className={styles.group}>
      <legend lang={english ? 'en' : language}>{name}</legend>
      {sentences.map(({ key, text, state }) => (
        <label
          key={key}
          className={styles.item}
          data-state={state}
          ref={key === chosen ? inSight : undefined}
        >
          <input type="radio" name="sentence" checked={key === chosen} onChange={() => onChoose(key)} />
          <span lang={language}>{text}</span>
          <StateMark state={state} />
        </label>
      ))}
    </fieldset>
  ));
});
