import { useCallback, useEffect, useReducer, useRef, useState } from 'react';
import type { Take } from '../../../hearing/audio/take';
import type { ClipInfo } from '../../../records/types';
import type { Recordable, Studio } from '../../desks/studio';
import { verdicts } from './words';

export type Phase =
  | { at: 'idle' }
  | { at: 'opening' }
  | { at: 'recording' }
  | { at: 'taken'; take: Take }
  | { at: 'playing'; then: Phase }
  | { at: 'saving'; act: string }
  | { at: 'kept' }
  | { at: 'deleting'; clip: ClipInfo };

const idle: Phase = { at: 'idle' };

/**
 * The work on one sentence, a step at a time: recorded, heard, kept or deleted, with what is said about it. What sounds
 * or listens ends with the screen.
 * @param onChange when a recording was kept or deleted; the work is done when it resolves
 */
export function useTaking(studio: Studio, onChange: () => Promise<void>) {
  const [phase, setPhase] = useState<Phase>(idle);
  const [status, setStatus] = useState('');
  const [level, setLevel] = useState(-100);
  const stop = useRef(new AbortController());
  const done = useRef(new AbortController());
  /** The button that goes on. It takes the focus, as others come and go with the steps; where there is none, `top`. */
  const main = useRef<HTMLButtonElement>(null);
  const top = useRef<HTMLHeadingElement>(null);
  const [sought, focusMain] = useReducer((times: number) => times + 1, 0);
  const found = useRef(0);
  // biome-ignore lint/correctness/useExhaustiveDependencies: with each step, once it is drawn
  useEffect(() => {
    const lost = sought > 0 && document.activeElement === document.body;
    if (sought !== found.current || lost) (main.current ?? top.current)?.focus();
    found.current = sought;
  }, [sought, phase]);

  useEffect(
    () => () => {
      stop.current.abort();
      void studio.stop();
    },
    [studio],
  );

  const fresh = () => {
    stop.current.abort();
    stop.current = new AbortController();
    done.current = new AbortController();
    return { signal: stop.current.signal, done: done.current.signal };
  };
  const say = (next: Phase, said: string) => {
    setPhase(next);
    setStatus(said);
  };
  const reset = useCallback(() => {
    stop.current.abort();
    setPhase(idle);
    setStatus('');
  }, []);

  const record = async () => {
    const { signal, done } = fresh();
    say({ at: 'opening' }, 'Opening the microphone …');
    focusMain();
    try {
      const take = await studio.record({
        done,
        onLevel: (dbfs) => {
          setLevel(dbfs);
          setPhase((now) => (now.at === 'opening' ? { at: 'recording' } : now));
          setStatus('Read the sentence aloud, then stop.');
        },
      });
      if (!signal.aborted) say({ at: 'taken', take }, verdicts[take.verdict]);
    } catch (error) {
      if (!signal.aborted) say(idle, (error as Error).message);
    }
  };
  const throwAway = () => {
    stop.current.abort();
    void studio.stop();
    say(idle, 'Thrown away.');
    focusMain();
  };
  const play = async (work: (signal: AbortSignal) => Promise<void>, then: Phase = phase) => {
    const { signal } = fresh();
    // What went amiss with the one before is no word about this one.
    say({ at: 'playing', then }, then.at === 'taken' ? verdicts[then.take.verdict] : '');
    focusMain();
    try {
      await work(signal);
      if (!signal.aborted) setPhase(then);
    } catch (error) {
      if (!signal.aborted) say(then, (error as Error).message);
    }
  };
  const change = async (
    work: () => Promise<void>,
    act: string,
    after: Phase,
    said: string,
    otherwise: Phase,
  ) => {
    setPhase({ at: 'saving', act });
    try {
      await work();
      await onChange();
      say(after, said);
    } catch (error) {
      say(otherwise, (error as Error).message);
    }
    focusMain();
  };

  return {
    phase,
    status,
    level,
    main,
    top,
    focusMain,
    /** Something is going on that has to end before another sentence is chosen. */
    busy: phase.at !== 'idle' && phase.at !== 'kept',
    reset,
    record,
    finish: () => done.current.abort(),
    throwAway,
    say: (sentence: Recordable) => play((signal) => studio.say(sentence.language, sentence.text, signal)),
    play: ({ key }: ClipInfo) => play((signal) => studio.play(key, signal)),
    playTake: (take: Take) => play((signal) => studio.playTake(take, signal)),
    silence: (then: Phase) => {
      stop.current.abort();
      setPhase(then);
    },
    keep: (sentence: Recordable, take: Take, instead?: string) =>
      change(
        () => studio.keep(sentence, take, instead),
        'Keep',
        { at: 'kept' },
        'Kept. The kiosk says this sentence in your voice.',
        { at: 'taken', take },
      ),
    askToErase: (clip: ClipInfo, question: string) => {
      say({ at: 'deleting', clip }, question);
      focusMain();
    },
    erase: ({ key }: ClipInfo) => change(() => studio.erase(key), 'Deleting …', idle, 'Deleted.', idle),
  };
}

export type Taking = ReturnType<typeof useTaking>;
