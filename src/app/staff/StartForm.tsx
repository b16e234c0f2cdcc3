import { useState } from 'react';
import { barriers, type VisitStart, waysToLearn } from '../../records/schema';
import type { FullLesson } from '../lessons';
import type { Site } from '../site';
import { Field } from './Field';
import type { LanguagePacks } from './Pack';
import { Problem } from './Problem';
import { Readiness } from './Readiness';
import { RecordNumber } from './RecordNumber';
import styles from './Staff.module.css';
import { fieldsOf, scanSeconds, startOf } from './startOf';
import { useProblems } from './useProblems';
import { WhatToTeach } from './WhatToTeach';

const barrierNames: Record<(typeof barriers)[number], string> = {
  sight: 'Sight',
  hearing: 'Hearing',
  memory: 'Memory',
  hands: 'Hands',
  reading: 'Reading',
  breath: 'Short of breath',
};
const wayNames: Record<(typeof waysToLearn)[number], string> = {
  listening: 'Listening',
  looking: 'Looking at pictures',
  doing: 'Doing it',
  reading: 'Reading',
};

/** The clinician's form: who learns, what, how, and what is particular to this person. */
export function StartForm({
  site,
  lessons,
  ears,
  pack,
  sealing = 'sealed',
  onStart,
  onCancel,
}: {
  site: Site;
  /** In all languages. */
  lessons: FullLesson[];
  /** Which recogniser and voice a language would get here, in a sentence. */
  ears: (language: string) => Promise<string>;
  pack?: LanguagePacks;
  /** How what is written here is stored, if it is. */
  sealing?: 'open' | 'sealed' | 'memory';
  onStart: (start: VisitStart) => void;
  onCancel: () => void;
}) {
  const languages = [...new Set(lessons.map(({ teaching }) => teaching.language))];
  const [language, setLanguage] = useState(
    languages.includes(site.language) ? site.language : (languages[0] ?? 'en'),
  );
  const offered = lessons.filter(({ teaching }) => teaching.language === language);
  const [modules, setModules] = useState(offered.length === 1 ? [offered[0]!.module.id] : []);
  // What is not taught in another language is chosen again when this one is.
  const chosen = modules.flatMap((id) => offered.find(({ module }) => module.id === id) ?? []);
  const [caregiver, setCaregiver] = useState(false);
  const [switched, setSwitched] = useState(false);
  const { problems, form, tell, onInput } = useProblems();
  if (lessons.length === 0) return <main data-screen="start">No module can be taught yet.</main>;

  return (
    <main className={styles.staff} data-screen="start">
      <h1>Start a visit</h1>
      {sealing === 'memory' && (
        <p className={styles.caution}>
          This device stores nothing now. The visit can be held as ever; at its end print the handout, and
          copy the note, before you close it.
        </p>
      )}
      {sealing === 'open' && (
        <p className={styles.caution}>
          What is stored of this visit is not sealed on this device, until a staff secret is set under Visits.
        </p>
      )}
      <form
        ref={form}
        className={styles.form}
        noValidate
        onInput={onInput}
        onSubmit={(event) => {
          event.preventDefault();
          const made = startOf(new FormData(event.currentTarget), chosen, site);
          if ('start' in made) onStart(made.start);
          else tell(made.problems);
        }}
      >
        <fieldset>
          <legend>Who learns</legend>
          <div className={styles.row}>
            <label>
              <input
                type="radio"
                name="role"
                value="patient"
                checked={!caregiver}
                onChange={() => setCaregiver(false)}
              />{' '}
              Patient
            </label>
            <label>
              <input
                type="radio"
                name="role"
                value="caregiver"
                checked={caregiver}
                onChange={() => setCaregiver(true)}
              />{' '}
              Caregiver
            </label>
          </div>
          <Field label="Name or initials" name="name" problem={problems.name} />
          {caregiver && <Field label="Relation to the patient" name="relation" />}
          <Field label="Bed" name="bed" maxLength={20} problem={problems.bed} />
          <RecordNumber filed={site.recordServer !== undefined} problem={problems.recordNumber} />
          <Field label="Your name" name="staff" problem={problems.staff} />
        </fieldset>
        <WhatToTeach
          language={language}
          languages={languages}
          onLanguage={setLanguage}
          lessons={offered}
          chosen={chosen}
          onChosen={(module, on) =>
            setModules((before) => [...before.filter((id) => id !== module), ...(on ? [module] : [])])
          }
          problems={problems}
          ears={ears}
          pack={pack}
        />
        <fieldset>
          <legend>How this person learns</legend>
          <Readiness />
          <label className={styles.field}>
            Learns best by
            <select name="prefers">
              {waysToLearn.map((way) => (
                <option key={way} value={way}>
                  {wayNames[way]}
                </option>
              ))}
            </select>
          </label>
          <p className={styles.caption}>Barriers</p>
          <div className={styles.row}>
            {barriers.map((barrier) => (
              <label key={barrier}>
                <input type="checkbox" name="barrier" value={barrier} /> {barrierNames[barrier]}
              </label>
            ))}
          </div>
          <p className={styles.caption}>Answers</p>
          <div className={styles.row}>
            <label>
              <input type="radio" name="answers" value="voice" defaultChecked /> By voice
            </label>
            <label>
              <input type="radio" name="answers" value="touch" /> Without speech: cards or typing
            </label>
          </div>
          <label className={styles.field}>
            Works the screen by
            <select name="switches" onChange={(event) => setSwitched(event.target.value !== '')}>
              <option value="">touch or keyboard</option>
              <option value="one">one switch (space bar or Enter chooses)</option>
              <option value="two">two switches (space bar: next, Enter: choose)</option>
            </select>
          </label>
          {switched && (
            <Field
              label="With one switch: seconds for each button"
              name="scanItem"
              type="number"
              min={scanSeconds.least}
              max={scanSeconds.most}
              step="any"
              defaultValue={site.timings.scanItem / 1000}
              problem={problems.scanItem}
            />
          )}
          <div className={styles.ticks}>
            <label>
              <input type="checkbox" name="interpreter" /> An interpreter is present
            </label>
            <label>
              <input type="checkbox" name="audioOnly" /> By ear only (says what can be touched or said)
            </label>
          </div>
        </fieldset>
        <fieldset>
          <legend>For this person</legend>
          {chosen.map(({ module, teaching }) => {
            const fields = fieldsOf(module.id);
            const what = chosen.length > 1 ? `: ${teaching.title}` : '';
            const says = JSON.stringify(teaching);
            return (
              <div key={module.id} className={styles.own}>
                {says.includes('{medicine}') && (
                  <Field label={`Medicine, as labelled${what}`} name={fields.medicine} />
                )}
                {says.includes('{timesADay}') && (
                  <Field label={`Times a day, as ordered${what}`} name={fields.timesADay} />
                )}
              </div>
            );
          })}
          <Field label="Number to call" name="callNumber" maxLength={40} defaultValue={site.callNumber} />
        </fieldset>
        <Problem text={problems.form ?? summed(Object.keys(problems).length)} />
        <div className={styles.buttons}>
          <button type="submit" className={styles.go}>
            Start
          </button>
          <button type="button" onClick={onCancel}>
            Cancel
          </button>
        </div>
      </form>
    </main>
  );
}

/** Beside the button, for whoever does not see the fields above. */
const summed = (count: number): string =>
  count === 0
    ? ''
    : count === 1
      ? 'One field above needs something.'
      : `${count} fields above need something.`;
