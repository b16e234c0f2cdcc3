import { useEffect, useRef, useState } from 'react';
import type { Take, TakeVerdict } from '../../../hearing/audio/take';
import type { Studio } from '../../desks/studio';
import { Problem } from '../Problem';
import styles from '../Staff.module.css';
import own from './First.module.css';

const verdicts: Record<TakeVerdict, string> = {
  fine: 'Heard well.',
  empty: 'No voice was heard. Check the microphone, then try again.',
  'too-quiet': 'Very quiet. Turn the microphone up or move it nearer, then try again.',
  'too-noisy': 'The room is loud. Move the microphone nearer to the learner, then try again.',
  'cut-off': 'Too loud: the sound was cut off. Turn the microphone down, then try again.',
};

/** What is recorded for a try, ms. */
const long = 5_000;
/** dBFS of silence and of a loud voice. */
const meter = { min: -60, max: -10 };

/** Is the microphone heard, and can the loudspeaker be? */
export function SoundStep({
  studio,
  language,
  sentence,
}: {
  studio: Pick<Studio, 'record' | 'stop' | 'say' | 'playTake'>;
  language: string;
  /** What is said to try the loudspeaker. */
  sentence: string;
}) {
  const [level, setLevel] = useState<number | null>(null);
  const [take, setTake] = useState<Take | null>(null);
  const [sounding, setSounding] = useState(false);
  const [problem, setProblem] = useState('');
  const left = useRef(new AbortController());
  useEffect(() => {
    const gone = new AbortController();
    left.current = gone;
    return () => {
      gone.abort();
      void studio.stop();
    };
  }, [studio]);
  const attempt = async (work: (gone: AbortSignal) => Promise<void>) => {
    const { signal } = left.current;
    setProblem('');
    try {
      await work(signal);
    } catch (error) {
      if (!signal.aborted) setProblem((error as Error).message);
    }
    setLevel(null);
    setSounding(false);
  };
  const listen = () =>
    attempt(async () => {
      setTake(null);
      setLevel(meter.min);
      const done = new AbortController();
      const limit = setTimeout(() => done.abort(), long);
      try {
        setTake(await studio.record({ done: done.signal, onLevel: setLevel }));
      } finally {
        clearTimeout(limit);
      }
    });
  const sound = (work: (gone: AbortSignal) => Promise<void>) =>
    attempt((gone) => {
      setSounding(true);
      return work(gone);
    });
  const busy = level !== null || sounding;
  return (
    <>
      <h3>Microphone</h3>
      <p>
        Press, and say something from where the learner will sit. Five seconds are recorded; nothing is kept.
      </p>
      <div className={styles.buttons}>
        <button type="button" aria-disabled={busy} onClick={() => busy || listen()}>
          Try the microphone
        </button>
        {take && take.verdict !== 'empty' && (
          <button
            type="button"
            aria-disabled={busy}
            onClick={() => busy || sound((gone) => studio.playTake(take, gone))}
          >
            Play it back
          </button>
        )}
        {level !== null && (
          <meter className={own.level} aria-label="Loudness" {...meter} value={Math.max(meter.min, level)} />
        )}
      </div>
      <p role="status">{level !== null ? 'Speak now …' : take ? verdicts[take.verdict] : ''}</p>
      <h3>Loudspeaker</h3>
      <p>
        It should be heard well where the learner sits. Turn the volume of the device up or down until it is.
      </p>
      <div className={styles.buttons}>
        <button
          type="button"
          aria-disabled={busy}
          onClick={() => busy || sound((gone) => studio.say(language, sentence, gone))}
        >
          Play a sentence
        </button>
      </div>
      <Problem text={problem} />
    </>
  );
}
