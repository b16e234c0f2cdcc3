import type { PersonEvent, VisitView } from '../../../machines/types';
import type { Summary as SummaryModel } from '../../records/summary';
import { Action } from '../shared/Action';
import { Captions } from '../shared/Captions';
import { en } from '../texts/en';
import { Screen } from './Screen';
import styles from './Summary.module.css';
import { YesNo } from './Talk';

/** The end of a visit: spoken and shown, to print, to save, and for the clinician to read on. */
export function Summary({
  view,
  send,
  summary,
  onPrint,
  onSave,
  onClinician,
  onClose,
}: {
  view: VisitView;
  send: (event: PersonEvent) => void;
  summary: SummaryModel;
  onPrint: () => void;
  onSave: () => void;
  onClinician: () => void;
  onClose: () => void;
}) {
  return (
    <Screen
      view={view}
      send={send}
      main={
        view.expects === 'yes-no' ? (
          <YesNo send={send} />
        ) : view.screen === 'summary' ? (
          <Action kind="main" icon="next" onPress={() => send({ type: 'GO_ON' })}>
            {en.next}
          </Action>
        ) : (
          <Action kind="main" icon="print" onPress={onPrint}>
            {en.print}
          </Action>
        )
      }
      tools={
        <>
          {view.screen === 'summary' && (
            <Action icon="print" kind="quiet" onPress={onPrint}>
              {en.print}
            </Action>
          )}
          <Action icon="save" kind="quiet" onPress={onSave}>
            {en.save}
          </Action>
          <Action icon="person" kind="quiet" onPress={onClinician}>
            {en.clinicianView}
          </Action>
          <Action icon="stop" kind="quiet" onPress={onClose}>
            {en.close}
          </Action>
        </>
      }
    >
      <div className={styles.layout}>
        <div className={styles.said}>
          <h1 className={styles.title}>{en.summaryTitle}</h1>
          {view.unsaved > 0 && (
            <p className={styles.unsaved} role="alert">
              {en.unsaved}
            </p>
          )}
          <Captions sentences={view.captions} speaking={view.speaking} />
          {view.expects === 'yes-no' && (
            <p className={styles.listening} aria-live="polite">
              {en.listening[view.listening]}
            </p>
          )}
        </div>
        <div className={styles.lists}>
          <List title={en.wentWell} items={summary.well} kind="well" />
          <List title={en.personWill} items={summary.person} kind="person" />
        </div>
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
