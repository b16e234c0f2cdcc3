import type { ListedSentence } from '../../recordings';
import staff from '../Staff.module.css';
import { controlsOf } from './controls';
import { Loudness } from './Loudness';
import styles from './Recordings.module.css';
import { StateMark } from './StateMark';
import type { Taking } from './useTaking';
import { namesOfSlots, roleNames } from './words';

/** The sentence in hand and what is done with it. */
export function Sentence({
  sentence,
  language,
  taking,
  status,
  onRecord,
  onNext,
}: {
  sentence: ListedSentence | undefined;
  language: string;
  taking: Taking;
  status: string;
  onRecord: () => void;
  onNext: (() => void) | null;
}) {
  const { act, others } = controlsOf(taking, sentence, language, onRecord, onNext);
  return (
    <section className={styles.panel} aria-label="The chosen sentence">
      {sentence && (
        <>
          <p className={staff.caption}>
            {roleNames[sentence.role]} · <StateMark state={sentence.state} />
          </p>
          <p className={styles.sentence} lang={language} data-sentence>
            {sentence.text}
          </p>
          {sentence.slots.length > 0 && (
            <p className={staff.caption}>
              Its words for {namesOfSlots(sentence.slots)} can differ from visit to visit. The recording plays
              only where they are these; elsewhere the computer voice speaks.
            </p>
          )}
          {sentence.state === 'outdated' && sentence.clip && (
            <p>
              Recorded before the text was changed, so it is not played. It says: “
              <span lang={language}>{sentence.clip.text}</span>”
            </p>
          )}
        </>
      )}
      {taking.phase.at === 'recording' && <Loudness level={taking.level} />}
      <p role="status" className={styles.status}>
        {status}
      </p>
      {act && (
        <div className={styles.controls}>
          <button
            type="button"
            ref={taking.main}
            className={staff.go}
            onClick={act[1]}
            aria-disabled={taking.phase.at === 'saving'}
          >
            {act[0]}
          </button>
          {others.map(([label, press]) => (
            <button key={label} type="button" onClick={press}>
              {label}
            </button>
          ))}
        </div>
      )}
    </section>
  );
}
