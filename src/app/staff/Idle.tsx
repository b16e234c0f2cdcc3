import { Action } from '../shared/Action';
import { LightSwitch } from '../shared/LightSwitch';
import { nameOf } from '../shared/language';
import { useWords } from '../shared/words';
import styles from './Idle.module.css';

/** What the kiosk shows when nobody is being taught. A language is chosen by its own name, never by a flag. */
export function Idle({
  language,
  languages,
  onLanguage,
  onPractice,
  onStart,
  onVisits,
  onSetUp,
  onNotNow,
  notices,
}: {
  language: string;
  /** In which the practice visit can be held. */
  languages: string[];
  onLanguage: (language: string) => void;
  onPractice: () => void;
  onStart: () => void;
  onVisits: () => void;
  /** On a new kiosk: leads staff through its set-up. */
  onSetUp?: (() => void) | undefined;
  onNotNow?: () => void;
  notices: string[];
}) {
  const words = useWords();
  return (
    <main className={styles.idle} data-screen="idle">
      <div className={styles.top}>
        <div className={styles.mark}>
          <img src="/icon.svg" alt="" className={styles.icon} />
          <p className={styles.product} translate="no">
            Ownwords
          </p>
        </div>
        <div className={styles.choices}>
          {languages.length > 1 && (
            <fieldset className={styles.languages} aria-label={words.languages}>
              {languages.map((one) => (
                <button
                  key={one}
                  type="button"
                  lang={one}
                  className={styles.language}
                  aria-pressed={one === language}
                  onClick={() => onLanguage(one)}
                >
                  {nameOf(one)}
                </button>
              ))}
            </fieldset>
          )}
          <LightSwitch />
        </div>
      </div>
      <div>
        <h1 className={styles.title}>{words.idleTitle}</h1>
        {/* Both have no room in every language on the smallest panel. */}
        {!onSetUp && <p className={styles.lead}>{words.idleLead}</p>}
      </div>
      <div className={styles.actions}>
        <Action kind="main" icon="next" onPress={onStart}>
          {words.newVisit}
        </Action>
        <Action icon="voice" onPress={onPractice}>
          {words.practice}
        </Action>
        <Action icon="person" kind="quiet" onPress={onVisits}>
          {words.visits}
        </Action>
      </div>
      {onSetUp && (
        <section className={styles.fresh} aria-labelledby="is-new">
          <p id="is-new">{words.isNew}</p>
          <div className={styles.choices}>
            <Action kind="quiet" onPress={onSetUp}>
              {words.setUp}
            </Action>
            <Action kind="quiet" onPress={() => onNotNow?.()}>
              {words.notNow}
            </Action>
          </div>
        </section>
      )}
      {/* Whatever is told to staff in sentences is English, as their pages are. */}
      <ul className={styles.notices} aria-live="polite" lang="en" dir="ltr">
        {notices.map((notice) => (
          <li key={notice}>{notice}</li>
        ))}
      </ul>
      <p className={styles.caution}>{words.caution}</p>
    </main>
  );
}
