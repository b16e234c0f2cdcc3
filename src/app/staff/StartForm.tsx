import { useEffect, useState } from 'react';
import { barriers, type VisitStart, visitStartSchema, waysToLearn } from '../../records/schema';
import type { FullLesson } from '../lessons';
import { particularsOf } from '../particulars';
import { nameOf } from '../shared/language';
import type { Site } from '../site';
import { Problem } from './Problem';
import styles from './Staff.module.css';

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

/** Packs of the browser by which it hears a language on this device. */
export interface LanguagePacks {
  /** Not here, and can be fetched. */
  offered: (language: string) => Promise<boolean>;
  /** Called straight from a press, without which browsers refuse. What happened, in a sentence. */
  install: (language: string) => Promise<string>;
}

/** The clinician's form: who learns, how, what, and what is particular to this person. */
export function StartForm({
  site,
  lessons,
  ears,
  pack,
  open = false,
  onStart,
  onCancel,
}: {
  site: Site;
  lessons: FullLesson[];
  /** Which recogniser and voice a language would get here, in a sentence. */
  ears: (language: string) => Promise<string>;
  pack?: LanguagePacks;
  /** true: what is written here is stored unsealed. */
  open?: boolean;
  onStart: (start: VisitStart) => void;
  onCancel: () => void;
}) {
  const [chosen, setChosen] = useState(0);
  const lesson = lessons[chosen];
  const [ear, setEar] = useState('');
  const [problem, setProblem] = useState('');
  const language = lesson?.teaching.language ?? 'en';
  /** Counts installations: what can hear is asked again after each. */
  const [installed, setInstalled] = useState(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: asked again after an installation
  useEffect(() => {
    let current = true;
    setEar('');
    ears(language).then((sentence) => current && setEar(sentence));
    return () => {
      current = false;
    };
  }, [language, ears, installed]);
  if (!lesson) return <main data-screen="start">No module can be taught yet.</main>;

  const submit = (form: FormData) => {
    const word = (name: string) => String(form.get(name) ?? '').trim();
    const relation = word('relation');
    const result = visitStartSchema.safeParse({
      visit: crypto.randomUUID(),
      practice: false,
      ward: site.ward,
      bed: word('bed'),
      ...(word('recordNumber') ? { recordNumber: word('recordNumber') } : {}),
      staff: word('staff'),
      learner: {
        role: word('role'),
        name: word('name'),
        ...(relation ? { relation } : {}),
      },
      language,
      interpreter: form.has('interpreter'),
      prefers: word('prefers'),
      barriers: form.getAll('barrier'),
      module: lesson.module.id,
      moduleVersion: lesson.module.version,
      steps: lesson.module.steps.map((step) => step.id).filter((id) => form.getAll('step').includes(id)),
      audioOnly: form.has('audioOnly'),
      ...(word('answers') === 'touch' ? { answers: 'touch' } : {}),
      ...(word('switches')
        ? { switches: { keys: word('switches'), each: Math.round(Number(word('scanItem')) * 1000) } }
        : {}),
      particulars: particularsOf(lesson.common, site, {
        medicine: word('medicine'),
        timesADay: word('timesADay'),
        callNumber: word('callNumber'),
      }),
    });
    if (!result.success) {
      setProblem(result.error.issues.map((issue) => `${issue.path.join(' ')}: ${issue.message}`).join('; '));
    } else if (result.data.steps.length === 0) {
      setProblem('Choose at least one part to teach.');
    } else {
      onStart(result.data);
    }
  };

  return (
    <main className={styles.staff} data-screen="start">
      <h1>Start a visit</h1>
      {open && (
        <p className={styles.caution}>
          What is stored of this visit is not sealed on this device, until a staff secret is set under Visits.
        </p>
      )}
      <form
        className={styles.form}
        onSubmit={(event) => {
          event.preventDefault();
          submit(new FormData(event.currentTarget));
        }}
      >
        <fieldset>
          <legend>Who learns</legend>
          <div className={styles.row}>
            <label>
              <input type="radio" name="role" value="patient" defaultChecked /> Patient
            </label>
            <label>
              <input type="radio" name="role" value="caregiver" /> Caregiver
            </label>
          </div>
          <label className={styles.field}>
            Name or initials
            <input name="name" required maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            If a caregiver: relation
            <input name="relation" maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            Bed
            <input name="bed" required maxLength={20} autoComplete="off" />
          </label>
          {site.recordServer && (
            <label className={styles.field}>
              Record number of the patient, to file the visit (may be entered later)
              <input name="recordNumber" maxLength={80} autoComplete="off" />
            </label>
          )}
          <label className={styles.field}>
            Your name
            <input name="staff" required maxLength={80} autoComplete="off" />
          </label>
        </fieldset>
        <fieldset>
          <legend>How this person learns</legend>
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
            <select name="switches">
              <option value="">touch or keyboard</option>
              <option value="one">one switch (space bar or Enter chooses)</option>
              <option value="two">two switches (space bar: next, Enter: choose)</option>
            </select>
          </label>
          <label className={styles.field}>
            With one switch: seconds for each button
            <input
              name="scanItem"
              type="number"
              min={0.3}
              max={60}
              step="any"
              defaultValue={site.timings.scanItem / 1000}
            />
          </label>
          <label>
            <input type="checkbox" name="interpreter" /> An interpreter is present
          </label>
          <label>
            <input type="checkbox" name="audioOnly" /> By ear only (says what can be touched or said)
          </label>
        </fieldset>
        <fieldset>
          <legend>What to teach</legend>
          <label className={styles.field}>
            Device and language
            <select value={chosen} onChange={(event) => setChosen(Number(event.target.value))}>
              {lessons.map((offer, index) => (
                <option key={`${offer.module.id} ${offer.teaching.language}`} value={index}>
                  {offer.teaching.title} · {nameOf(offer.teaching.language)}
                </option>
              ))}
            </select>
          </label>
          <p className={styles.caption} role="status">
            {ear || 'Looking for a recogniser and a voice …'}
          </p>
          {pack && (
            <Pack
              key={language}
              language={language}
              pack={pack}
              onInstalled={() => setInstalled((n) => n + 1)}
            />
          )}
          {!lesson.teaching.reviewedBy && (
            <p className={styles.caution}>These texts have not been reviewed by a qualified person.</p>
          )}
          <div className={styles.steps}>
            {lesson.module.steps.map((step) => (
              <label key={`${lesson.module.id} ${step.id}`}>
                <input type="checkbox" name="step" value={step.id} defaultChecked />{' '}
                {lesson.teaching.steps[step.id]?.title}
              </label>
            ))}
          </div>
        </fieldset>
        <fieldset>
          <legend>For this person</legend>
          <label className={styles.field}>
            Medicine, as labelled
            <input name="medicine" maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            Times a day, as ordered
            <input name="timesADay" maxLength={80} autoComplete="off" />
          </label>
          <label className={styles.field}>
            Number to call
            <input name="callNumber" maxLength={40} defaultValue={site.callNumber} autoComplete="off" />
          </label>
        </fieldset>
        <Problem text={problem} />
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

/** Offers to fetch the browser's language pack, where it can be had, and says what came of it. */
function Pack({
  language,
  pack,
  onInstalled,
}: {
  language: string;
  pack: LanguagePacks;
  onInstalled: () => void;
}) {
  const [offered, setOffered] = useState(false);
  const [busy, setBusy] = useState(false);
  const [said, setSaid] = useState('');
  useEffect(() => {
    let current = true;
    pack.offered(language).then((yes) => current && setOffered(yes));
    return () => {
      current = false;
    };
  }, [language, pack]);
  const install = async () => {
    setBusy(true);
    setSaid('Fetching the language pack; this may take half a minute …');
    // Nothing is awaited before it: the browser must still know of the press.
    setSaid(await pack.install(language));
    setBusy(false);
    setOffered(await pack.offered(language));
    onInstalled();
  };
  return (
    <>
      {offered && (
        <div className={styles.buttons}>
          <button type="button" onClick={install} disabled={busy}>
            Install the browser's language pack: {nameOf(language)}
          </button>
        </div>
      )}
      {said && (
        <p className={styles.caption} role="status">
          {said}
        </p>
      )}
    </>
  );
}
