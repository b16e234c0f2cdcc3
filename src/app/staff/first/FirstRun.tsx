import { type ReactNode, useEffect, useRef, useState } from 'react';
import type { Room } from '../../desks/staffRoom';
import type { Studio } from '../../desks/studio';
import type { Site } from '../../site';
import { SetUp } from '../SetUp';
import styles from '../Staff.module.css';
import own from './First.module.css';
import { HouseStep } from './HouseStep';
import { LanguagesStep } from './LanguagesStep';
import { SoundStep } from './SoundStep';

export interface FirstRunParts {
  site: Site;
  /** Keys that were read from site.json, and what is the matter with others. */
  given: string[];
  problems: string[];
  studio: Studio;
  languages: string[];
  ears: (language: string) => Promise<string>;
  /** Said to try the loudspeaker, in the language of the site. */
  sentence: string;
  /** Where nothing can be stored there is no secret to set. */
  secret: 'open' | 'set' | 'none';
  room: Pick<Room, 'setUp'>;
  onRestore: () => void;
  onPractice: () => void;
  /** Leaves for a visit at once. */
  onStart: () => void;
  /** All of it was gone through, or not. */
  onLeave: (how: 'done' | 'later') => void;
}

const titles = ['The ward', 'Microphone and sound', 'Languages', 'Staff secret', 'Practice visit'];

/** Leads through the set-up of a new kiosk. Every step can be passed by, and nothing in it has to be done. */
export function FirstRun(parts: FirstRunParts) {
  const [step, setStep] = useState(0);
  const [sealing, setSealing] = useState(false);
  const [sealed, setSealed] = useState(parts.secret === 'set');
  const title = useRef<HTMLHeadingElement>(null);
  const turned = useRef(false);
  useEffect(() => {
    // Whoever goes by keys or by ear is where the new step begins.
    if (turned.current && !sealing) title.current?.focus();
    turned.current = step >= 0;
  }, [step, sealing]);
  if (sealing)
    return (
      <SetUp
        room={parts.room}
        onBack={() => setSealing(false)}
        onDone={() => {
          setSealed(true);
          setSealing(false);
        }}
      />
    );
  const last = step === titles.length - 1;
  const secret = sealed ? 'set' : parts.secret;
  return (
    <main className={styles.staff} data-screen="first-run" data-step={step}>
      <h1>Set up this kiosk</h1>
      <p className={styles.caption}>
        Five steps, about three minutes. Nothing has to be done: a visit can begin at any time.
      </p>
      <ol className={own.trail} aria-label="Steps">
        {titles.map((one, at) => (
          <li key={one} aria-current={at === step ? 'step' : undefined}>
            <button type="button" onClick={() => setStep(at)}>
              {at + 1}. {one}
            </button>
          </li>
        ))}
      </ol>
      <h2 ref={title} tabIndex={-1}>
        {step + 1}. {titles[step]}
      </h2>
      {steps(parts, secret, () => setSealing(true))[step]}
      <div className={`${styles.buttons} ${own.foot}`}>
        {last ? (
          <button type="button" className={styles.go} onClick={() => parts.onLeave('done')}>
            Done
          </button>
        ) : (
          <button type="button" className={styles.go} onClick={() => setStep(step + 1)}>
            Next
          </button>
        )}
        {step > 0 && (
          <button type="button" onClick={() => setStep(step - 1)}>
            Back
          </button>
        )}
        {!last && (
          <button type="button" onClick={() => parts.onLeave('later')}>
            Not now
          </button>
        )}
        <button type="button" onClick={parts.onStart}>
          Start a visit
        </button>
      </div>
    </main>
  );
}

function steps(parts: FirstRunParts, secret: FirstRunParts['secret'], onSeal: () => void): ReactNode[] {
  const { site, given, problems, studio, sentence, languages, ears } = parts;
  return [
    <HouseStep key="house" site={site} given={given} problems={problems} />,
    <SoundStep key="sound" studio={studio} language={site.language} sentence={sentence} />,
    <LanguagesStep key="languages" languages={languages} ears={ears} />,
    <SecretStep key="secret" secret={secret} onSeal={onSeal} onRestore={parts.onRestore} />,
    <PracticeStep key="practice" onPractice={parts.onPractice} />,
  ];
}

function SecretStep({
  secret,
  onSeal,
  onRestore,
}: {
  secret: FirstRunParts['secret'];
  onSeal: () => void;
  onRestore: () => void;
}) {
  if (secret === 'none')
    return (
      <p className={styles.caution}>
        This browser stores nothing, so there is nothing to seal. Visits are held until the page closes: print
        or copy the note at the end of each.
      </p>
    );
  if (secret === 'set') return <p>A staff secret is set. What is stored here is sealed.</p>;
  return (
    <>
      <p>
        With a staff secret, whoever takes this device away reads nothing of the visits on it. Visits begin
        and go on without the secret; only to read them again it is asked for. It takes two minutes, and is
        best done before the first visit. Later, it is under Visits.
      </p>
      <div className={styles.buttons}>
        <button type="button" onClick={onSeal}>
          Set a staff secret
        </button>
        <button type="button" onClick={onRestore}>
          Restore a backup of another kiosk
        </button>
      </div>
    </>
  );
}

function PracticeStep({ onPractice }: { onPractice: () => void }) {
  return (
    <>
      <p>
        See how it goes: an invented learner, the inhaler with a spacer, about ten minutes. End it whenever
        you like. It is never filed.
      </p>
      <div className={styles.buttons}>
        <button type="button" onClick={onPractice}>
          Start the practice visit
        </button>
      </div>
    </>
  );
}
