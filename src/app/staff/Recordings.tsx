import { memo, useEffect, useMemo, useRef, useState } from 'react';
import type { SentenceGroup, SentenceRole } from '../../../machines/sentences';
import { MicrophoneError } from '../../hearing/audio/microphone';
import type { Take, TakeVerdict } from '../../hearing/audio/take';
import type { ClipInfo } from '../../records/types';
import type { FullLesson } from '../lessons';
import {
  type Recordings as Listed,
  type ListedSentence,
  listRecordings,
  type SentenceState,
} from '../recordings';
import { nameOf } from '../shared/language';
import type { Site } from '../site';
import type { Studio } from '../studio';
import styles from './Recordings.module.css';
import staff from './Staff.module.css';

const stateNames: Record<SentenceState, string> = {
  voice: 'computer voice',
  recorded: 'recorded',
  outdated: 'out of date',
};
const stateMarks: Record<SentenceState, string> = { voice: '○', recorded: '●', outdated: '!' };

const roleNames: Record<SentenceRole, string> = {
  prompt: 'Around the lesson',
  lead: 'Begins a part',
  teach: 'Teaching',
  question: 'Question',
  again: 'Teaching again',
  ask: 'Question about one point',
  correct: 'Puts a wrong belief right',
  simplest: 'Teaching in the fewest words',
  answer: 'Approved answer',
  point: 'To be shown with the hands',
  'when-to-call': 'When to call',
};

const groupName = (group: SentenceGroup): string =>
  ({
    around: 'Around every lesson',
    step: group.kind === 'step' ? group.title : '',
    answers: 'Answers to questions',
    'show-me': 'To be shown with the hands',
    end: 'When to call',
  })[group.kind];

/** What to do about a recording. */
const verdicts: Record<TakeVerdict, string> = {
  fine: 'Good. Listen to it, or keep it.',
  empty: 'No voice was heard, so nothing was kept. Check the microphone, then record again.',
  'too-quiet': 'Very quiet. Come closer or speak up, and record again.',
  'too-noisy': 'The room is loud. Close the door or wait for quiet, and record again.',
  'cut-off': 'Too loud: the sound was cut off. Move back a little, and record again.',
};

const filters = {
  all: 'All sentences',
  open: 'Without a recording',
  outdated: 'Out of date',
  recorded: 'Recorded',
} as const;
type Filter = keyof typeof filters;

const fits = (filter: Filter, state: SentenceState): boolean =>
  filter === 'all' || (filter === 'open' ? state !== 'recorded' : state === filter);

type Phase =
  | { at: 'idle' }
  | { at: 'opening' }
  | { at: 'recording' }
  | { at: 'taken'; take: Take }
  | { at: 'playing'; then: Phase }
  | { at: 'saving' }
  | { at: 'kept' }
  | { at: 'deleting' };

const idle: Phase = { at: 'idle' };

/** Staff record the sentences of the kiosk in their own voice: one sentence at a time. */
export function Recordings({
  site,
  lessons,
  studio,
  notices,
  onBack,
}: {
  site: Site;
  lessons: FullLesson[];
  studio: Studio;
  notices: string[];
  onBack: () => void;
}) {
  const [chosen, setChosen] = useState(0);
  const lesson = lessons[chosen];
  const [clips, setClips] = useState<ClipInfo[] | null>(null);
  const [listed, setListed] = useState<Listed | null>(null);
  const [filter, setFilter] = useState<Filter>('all');
  /** Name of a group of sentences; '' for all. */
  const [part, setPart] = useState('');
  const [key, setKey] = useState('');
  const [phase, setPhase] = useState<Phase>(idle);
  const [status, setStatus] = useState('');
  const [level, setLevel] = useState(-100);
  const stop = useRef(new AbortController());
  const done = useRef(new AbortController());
  const main = useRef<HTMLButtonElement>(null);

  // Leaving the screen ends whatever sounds or listens.
  useEffect(
    () => () => {
      stop.current.abort();
      void studio.stop();
    },
    [studio],
  );
  const read = () =>
    studio.clips().then(setClips, (error: unknown) => setStatus(`The recordings: ${messageOf(error)}`));
  // biome-ignore lint/correctness/useExhaustiveDependencies: once; later after each change
  useEffect(() => void read(), [studio]);
  useEffect(() => {
    if (!lesson || !clips) return;
    let current = true;
    listRecordings(lesson, lessons, clips, site).then(
      (found) => current && setListed(found),
      (error: unknown) => setStatus(messageOf(error)),
    );
    return () => {
      current = false;
    };
  }, [lesson, lessons, clips, site]);

  const parts = useMemo(
    () => [...new Set((listed?.sentences ?? []).map(({ group }) => groupName(group)))],
    [listed],
  );
  const shown = useMemo(
    () =>
      (listed?.sentences ?? []).filter(
        (one) =>
          (fits(filter, one.state) && (part === '' || groupName(one.group) === part)) || one.key === key,
      ),
    [listed, filter, part, key],
  );
  const sentence = shown.find((one) => one.key === key) ?? shown[0];
  const language = lesson?.common.language ?? 'en';
  const busy = phase.at !== 'idle' && phase.at !== 'kept';

  const fresh = () => {
    stop.current.abort();
    stop.current = new AbortController();
    done.current = new AbortController();
    return { signal: stop.current.signal, done: done.current.signal };
  };
  const choose = (next: string) => {
    stop.current.abort();
    setKey(next);
    setPhase(idle);
    setStatus('');
  };
  const trouble = (error: unknown) => {
    setPhase(idle);
    setStatus(messageOf(error));
  };

  const record = async () => {
    const { signal, done } = fresh();
    if (sentence) setKey(sentence.key);
    setPhase({ at: 'opening' });
    setStatus('Opening the microphone …');
    main.current?.focus();
    try {
      const take = await studio.record({
        done,
        onLevel: (dbfs) => {
          setLevel(dbfs);
          setPhase((now) => (now.at === 'opening' ? { at: 'recording' } : now));
          setStatus('Read the sentence aloud, then stop.');
        },
      });
      if (signal.aborted) return;
      setPhase({ at: 'taken', take });
      setStatus(verdicts[take.verdict]);
    } catch (error) {
      if (!signal.aborted) trouble(error);
    }
  };
  const cancel = () => {
    stop.current.abort();
    void studio.stop();
    setPhase(idle);
    setStatus('Thrown away.');
    main.current?.focus();
  };
  const hear = async (work: (signal: AbortSignal) => Promise<void>, then: Phase) => {
    const { signal } = fresh();
    setPhase({ at: 'playing', then });
    main.current?.focus();
    try {
      await work(signal);
      if (!signal.aborted) setPhase(then);
    } catch (error) {
      if (signal.aborted) return;
      setPhase(then);
      setStatus(messageOf(error));
    }
  };
  const silence = (then: Phase) => {
    stop.current.abort();
    setPhase(then);
  };
  const change = async (work: () => Promise<void>, after: Phase, said: string, otherwise: Phase) => {
    setPhase({ at: 'saving' });
    try {
      await work();
      await read();
      setPhase(after);
      setStatus(said);
    } catch (error) {
      setPhase(otherwise);
      setStatus(messageOf(error));
    }
    main.current?.focus();
  };

  const open = listed?.sentences ?? [];
  const here = open.findIndex((one) => one.key === sentence?.key);
  const next =
    open.find((one, index) => index > here && one.state !== 'recorded') ??
    open.find((one, index) => index < here && one.state !== 'recorded');
  const goNext = () => {
    if (!next) return;
    setFilter((now) => (fits(now, next.state) ? now : 'all'));
    setPart((now) => (now === '' ? '' : groupName(next.group)));
    choose(next.key);
    main.current?.focus();
  };

  const count = (state: SentenceState) => open.filter((one) => one.state === state).length;
  const { buttons, act } = controls();

  function controls(): {
    buttons: [label: string, act: () => void][];
    act: [label: string, act: () => void] | null;
  } {
    if (!sentence) return { buttons: [], act: null };
    const { clip, state } = sentence;
    switch (phase.at) {
      case 'opening':
      case 'recording':
        return {
          act: ['Stop', () => done.current.abort()],
          buttons: [['Throw away', cancel]],
        };
      case 'taken': {
        const { take } = phase;
        if (take.verdict === 'empty')
          return { act: ['Record again', record], buttons: [['Throw away', cancel]] };
        const instead = state === 'outdated' && clip ? clip.key : undefined;
        const keep = () =>
          change(
            () => studio.keep({ language, text: sentence.text, place: sentence.place }, take, instead),
            { at: 'kept' },
            'Kept. The kiosk says this sentence in your voice.',
            phase,
          );
        return {
          act: ['Keep', keep],
          buttons: [
            ['Listen', () => hear((signal) => studio.playTake(take, signal), phase)],
            ['Record again', record],
            ['Throw away', cancel],
          ],
        };
      }
      case 'playing':
        return { act: ['Stop', () => silence(phase.then)], buttons: [] };
      case 'saving':
        return { act: ['Keep', () => {}], buttons: [] };
      case 'deleting':
        return {
          act: [
            'Do not delete',
            () => {
              setPhase(idle);
              setStatus('');
            },
          ],
          buttons: [
            [
              'Delete this recording',
              () => (clip ? change(() => studio.erase(clip.key), idle, 'Deleted.', idle) : setPhase(idle)),
            ],
          ],
        };
      default: {
        const listen = () =>
          hear(
            (signal) => (clip ? studio.play(clip.key, signal) : studio.say(language, sentence.text, signal)),
            phase,
          );
        const remove = () => {
          setPhase({ at: 'deleting' });
          setStatus('Delete it? The sentence is then said by the computer voice.');
          main.current?.focus();
        };
        const again: [string, () => void] = [clip ? 'Record again' : 'Record', record];
        const go: [string, () => void] = ['Next without a recording', goNext];
        const kept = phase.at === 'kept' && next;
        return {
          act: kept ? go : again,
          buttons: [
            ...(kept ? [again] : []),
            [
              clip ? (state === 'outdated' ? 'Listen to the old one' : 'Listen') : 'Hear the computer voice',
              listen,
            ],
            ...(clip ? [['Delete', remove] as [string, () => void]] : []),
            ...(kept || !next ? [] : [go]),
          ],
        };
      }
    }
  }

  if (!lesson) return <main data-screen="recordings">No module can be taught yet.</main>;
  return (
    <main className={`${staff.staff} ${styles.page}`} data-screen="recordings" data-phase={phase.at}>
      <header className={styles.top}>
        <div>
          <h1>Recorded sentences</h1>
          <p className={staff.caption}>
            The kiosk plays a recording in place of its own voice. {count('recorded')} of {open.length}{' '}
            recorded
            {count('outdated') > 0 && `, ${count('outdated')} out of date`}.
          </p>
        </div>
        <button type="button" onClick={onBack}>
          Back
        </button>
      </header>
      {notices.map((notice) => (
        <p key={notice} className={staff.caution}>
          {notice}
        </p>
      ))}
      <fieldset className={styles.choices} disabled={busy} aria-label="Which sentences">
        <label className={staff.field}>
          Device and language
          <select
            value={chosen}
            onChange={(event) => {
              setChosen(Number(event.target.value));
              setPart('');
              choose('');
            }}
          >
            {lessons.map((offer, index) => (
              <option key={`${offer.module.id} ${offer.teaching.language}`} value={index}>
                {offer.teaching.title} · {nameOf(offer.teaching.language)}
              </option>
            ))}
          </select>
        </label>
        <label className={staff.field}>
          Part
          <select
            value={part}
            onChange={(event) => {
              setPart(event.target.value);
              choose('');
            }}
          >
            <option value="">All parts</option>
            {parts.map((name) => (
              <option key={name}>{name}</option>
            ))}
          </select>
        </label>
        <label className={staff.field}>
          Show
          <select
            value={filter}
            onChange={(event) => {
              setFilter(event.target.value as Filter);
              choose('');
            }}
          >
            {Object.entries(filters).map(([name, label]) => (
              <option key={name} value={name}>
                {label}
              </option>
            ))}
          </select>
        </label>
      </fieldset>
      <div className={styles.both}>
        <section className={styles.panel} aria-label="The chosen sentence">
          {sentence && (
            <>
              <p className={staff.caption}>
                {roleNames[sentence.role]} · <State state={sentence.state} />
              </p>
              <p className={styles.sentence} lang={language} data-sentence>
                {sentence.text}
              </p>
              {sentence.slots.length > 0 && (
                <p className={staff.caption}>
                  Its words for {sentence.slots.map((slot) => slotNames[slot] ?? slot).join(' and ')} can
                  differ from visit to visit. The recording plays only where they are these; elsewhere the
                  computer voice speaks.
                </p>
              )}
              {sentence.state === 'outdated' && sentence.clip && (
                <p>
                  Recorded before the text was changed, so it is not played. It says: “
                  <span lang={language}>{sentence.clip.text}</span>”
                </p>
              )}
              {phase.at === 'recording' && <Loudness level={level} />}
              <p role="status" className={styles.status}>
                {status}
              </p>
              {act && (
                <div className={styles.controls}>
                  <button
                    type="button"
                    ref={main}
                    className={staff.go}
                    onClick={act[1]}
                    aria-disabled={phase.at === 'saving'}
                  >
                    {act[0]}
                  </button>
                  {buttons.map(([label, press]) => (
                    <button key={label} type="button" onClick={press}>
                      {label}
                    </button>
                  ))}
                </div>
              )}
            </>
          )}
          {!sentence && <p role="status">{status || (listed ? 'No such sentence.' : 'Reading …')}</p>}
        </section>
        <fieldset className={styles.list} disabled={busy} aria-label="Sentences">
          <List sentences={shown} chosen={sentence?.key ?? ''} language={language} onChoose={choose} />
          {listed && listed.unused.length > 0 && filter !== 'open' && (
            <Unused
              clips={listed.unused}
              language={language}
              onHear={(clip) => hear((signal) => studio.play(clip.key, signal), idle)}
              onErase={(clip) => change(() => studio.erase(clip.key), idle, 'Deleted.', idle)}
            />
          )}
        </fieldset>
      </div>
    </main>
  );
}

const slotNames: Record<string, string> = {
  medicine: 'the medicine',
  timesADay: 'how often a day',
  careTeam: 'the care team',
  callNumber: 'the number to call',
  emergencyNumber: 'the emergency number',
  flameDistance: 'the distance from flames',
  tubingLength: 'the length of the tubing',
  soakIn: 'what to soak in',
  soakTime: 'how long to soak',
};

const messageOf = (error: unknown): string =>
  error instanceof MicrophoneError || error instanceof Error ? error.message : String(error);

function State({ state }: { state: SentenceState }) {
  return (
    <span className={styles[state]}>
      <span aria-hidden="true">{stateMarks[state]}</span> {stateNames[state]}
    </span>
  );
}

/** From silence (-60 dBFS) to full scale. The words beside it say what to do. */
function Loudness({ level }: { level: number }) {
  return (
    <div className={styles.loudness} aria-hidden="true">
      <svg viewBox="0 0 100 4" preserveAspectRatio="none" role="presentation">
        <rect width={Math.max(0, Math.min(100, (level + 60) * (100 / 60)))} height="4" />
      </svg>
    </div>
  );
}

const inSight = (item: HTMLElement | null) => item?.scrollIntoView({ block: 'nearest' });

/** Arrow keys go from sentence to sentence: they are one group of radio buttons, under a heading each part. */
const List = memo(function List({
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
  const groups: { name: string; english: boolean; sentences: ListedSentence[] }[] = [];
  for (const sentence of sentences) {
    const name = groupName(sentence.group);
    const last = groups.at(-1);
    if (last?.name === name) last.sentences.push(sentence);
    else groups.push({ name, english: sentence.group.kind !== 'step', sentences: [sentence] });
  }
  return groups.map(({ name, english, sentences }) => (
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
          <State state={state} />
        </label>
      ))}
    </fieldset>
  ));
});

/** Recordings of what is not said any more: to be heard and deleted, so that nobody's voice stays unseen. */
function Unused({
  clips,
  language,
  onHear,
  onErase,
}: {
  clips: ClipInfo[];
  language: string;
  onHear: (clip: ClipInfo) => void;
  onErase: (clip: ClipInfo) => void;
}) {
  return (
    <fieldset className={styles.group}>
      <legend>Not said any more</legend>
      {clips.map((clip) => (
        <div key={clip.key} className={styles.unused}>
          <span lang={language}>{clip.text}</span>
          <button type="button" onClick={() => onHear(clip)} aria-label={`Listen: ${clip.text}`}>
            Listen
          </button>
          <button type="button" onClick={() => onErase(clip)} aria-label={`Delete: ${clip.text}`}>
            Delete
          </button>
        </div>
      ))}
    </fieldset>
  );
}
