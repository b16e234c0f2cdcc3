import type { PersonEvent, VisitView } from '../../../machines/types';
import type { Summary as SummaryModel } from '../../records/summary';
import { Action } from '../shared/Action';
import { Captions } from '../shared/Captions';
import { Pages } from '../shared/Pages';
import { useWords } from '../shared/words';
import { Screen } from './Screen';
import styles from './Summary.module.css';
import { listeningIn, YesNo } from './Talk';

/** The end of a visit: spoken and shown, to print, to save, and for the clinician to read on. */
export function Summary({
  view,
  send,
  summary,
  inMemory = false,
  stopped = false,
  onNext,
  onPrint,
  onSave,
  onClinician,
  onClose,
}: {
  view: VisitView;
  send: (event: PersonEvent) => void;
  /** null: what is stored of it cannot be read, so there is nothing to print, save or read on. */
  summary: SummaryModel | null;
  /** It is gone when the page closes. */
  inMemory?: boolean;
  /** The visit was ended early. */
  stopped?: boolean;
  /** Goes on with the next lesson; left out: none is to come. */
  onNext?: (() => void) | undefined;
  onPrint: () => void;
  onSave: () => void;
  onClinician: () => void;
  onClose: () => void;
}) {
  const words = useWords();
  // Who stopped is not pushed on; staff can.
  const next = stopped ? undefined : onNext;
  return (
    <Screen
      view={view}
      send={send}
      titled
      main={
        view.expects === 'yes-no' ? (
          <YesNo send={send} />
        ) : view.screen === 'summary' ? (
          <Action kind="main" icon="next" onPress={() => send({ type: 'GO_ON' })}>
            {words.next}
          </Action>
        ) : next ? (
          <Action kind="main" icon="next" onPress={next}>
            {words.nextLesson}
          </Action>
        ) : summary ? (
          <Action kind="main" icon="print" onPress={onPrint}>
            {words.print}
          </Action>
        ) : (
          <Action kind="main" icon="stop" forStaff onPress={onClose}>
            {words.close}
          </Action>
        )
      }
      tools={
        !summary ? null : view.screen === 'summary' ? (
          <Action icon="print" kind="quiet" onPress={onPrint}>
            {words.print}
          </Action>
        ) : (
          <>
            {next && (
              <Action icon="print" kind="quiet" onPress={onPrint}>
                {words.print}
              </Action>
            )}
            {!next && onNext && (
              <Action icon="next" kind="quiet" forStaff onPress={onNext}>
                {words.nextLesson}
              </Action>
            )}
            <Action icon="save" kind="quiet" forStaff onPress={onSave}>
              {words.save}
            </Action>
            <Action icon="person" kind="quiet" forStaff onPress={onClinician}>
              {words.clinicianView}
            </Action>
            <Action icon="stop" kind="quiet" forStaff onPress={onClose}>
              {words.close}
            </Action>
          </>
        )
      }
    >
      {(!summary || inMemory || view.unsaved > 0) && (
        <p className={styles.unsaved} role="alert">
          {summary ? words.unsaved : words.unreadable}
        </p>
      )}
      <div className={styles.layout}>
        <div className={styles.said}>
          <h1 className={styles.title}>{onNext ? words.lessonDone : words.summaryTitle}</h1>
          <Captions sentences={view.captions} speaking={view.speaking} />
          {view.expects === 'yes-no' && (
            <p className={styles.listening} aria-live="polite">
              {listeningIn(words, view.listening)}
            </p>
          )}
        </div>
        {summary && (
          <Pages>
            <List title={words.personWill} items={summary.person} kind="person" />
            <List title={words.wentWell} items={summary.well} kind="well" />
          </Pages>
        )}
      </div>
    </Screen>
  );
}

function List({ title, items, kind }: { title: string; items: string[]; kind: 'well' | 'person' }) {
  if (items.length === 0) return null;
  return (
    <section className={styles[kind]}>
      <h2 className={styles.heading}>{title}</h2>
      <ul className={styles.list}>
        {items.map((item) => (
          <li key={item}>{item}</li>
        ))}
      </ul>
    </section>
  );
}
