import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import type { ClipInfo } from '../../records/types';
import type { Studio } from '../desks/studio';
import type { FullLesson } from '../lessons';
import { type Recordings as Listed, listRecordings, type SentenceState } from '../recordings';
import { nameOf } from '../shared/language';
import type { Site } from '../site';
import { chosen as chosenOf, type Filter, fits, inParts, nextOpen } from './recordings/choice';
import styles from './recordings/Recordings.module.css';
import { Sentence } from './recordings/Sentence';
import { SentenceList } from './recordings/SentenceList';
import { UnusedList } from './recordings/UnusedList';
import { useTaking } from './recordings/useTaking';
import { filterNames, groupName } from './recordings/words';
import staff from './Staff.module.css';

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
  const [listed, setListed] = useState<Listed | null>(null);
  const [filter, setFilter] = useState<Filter>('all');
  const [part, setPart] = useState('');
  const [key, setKey] = useState('');
  const [unread, setUnread] = useState('');

  const clips = useRef<ClipInfo[]>(null);
  const turn = useRef(0);
  const list = useCallback(async () => {
    turn.current += 1;
    const mine = turn.current;
    if (!lesson || !clips.current) return;
    try {
      const found = await listRecordings(lesson, lessons, clips.current, site);
      if (mine === turn.current) setListed(found);
    } catch (error) {
      setUnread((error as Error).message);
    }
  }, [lesson, lessons, site]);
  const read = async () => {
    try {
      clips.current = await studio.clips();
      setUnread('');
    } catch (error) {
      setUnread(`The recordings: ${(error as Error).message}`);
      return;
    }
    await list();
  };
  const taking = useTaking(studio, read);
  const { reset, focusMain, top } = taking;
  // biome-ignore lint/correctness/useExhaustiveDependencies: once; later after each change
  useEffect(() => void read(), [studio]);
  useEffect(() => void list(), [list]);

  const all = useMemo(() => listed?.sentences ?? [], [listed]);
  const parts = useMemo(() => [...new Set(inParts(all).map(({ name }) => name))], [all]);
  const shown = useMemo(() => chosenOf(all, { filter, part, key }), [all, filter, part, key]);
  const sentence = shown.find((one) => one.key === key) ?? shown[0];
  const language = lesson?.common.language ?? 'en';
  const noSentence = !lesson ? 'No module can be taught yet.' : listed ? 'No such sentence.' : 'Reading …';
  const next = nextOpen(all, sentence?.key);
  const count = (state: SentenceState) => all.filter((one) => one.state === state).length;

  const choose = useCallback(
    (next: string) => {
      reset();
      setKey(next);
    },
    [reset],
  );
  const goNext = () => {
    if (!next) return;
    setFilter((now) => (fits(now, next.state) ? now : 'all'));
    setPart((now) => (now === '' ? '' : groupName(next.group)));
    choose(next.key);
    focusMain();
  };

  return (
    <main className={`${staff.staff} ${styles.page}`} data-screen="recordings" data-phase={taking.phase.at}>
      <header className={styles.top}>
        <div>
          <h1 ref={top} tabIndex={-1}>
            Recorded sentences
          </h1>
          <p className={staff.caption}>
            The kiosk plays a recording in place of its own voice. {count('recorded')} of {all.length}{' '}
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
      <fieldset className={styles.choices} disabled={taking.busy} aria-label="Which sentences">
        <label className={staff.field}>
          Device and language
          <select
            value={chosen}
            onChange={(event) => {
              setChosen(Number(event.target.value));
              // Those of the other lesson must not be recorded as of this one.
              setListed(null);
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
            {Object.entries(filterNames).map(([name, label]) => (
              <option key={name} value={name}>
                {label}
              </option>
            ))}
          </select>
        </label>
      </fieldset>
      <div className={styles.both}>
        <Sentence
          sentence={sentence}
          language={language}
          taking={taking}
          status={taking.status || unread || (sentence ? '' : noSentence)}
          onRecord={() => {
            if (sentence) setKey(sentence.key);
            void taking.record();
          }}
          onNext={next ? goNext : null}
        />
        <fieldset className={styles.list} disabled={taking.busy} aria-label="Sentences">
          <SentenceList
            sentences={shown}
            chosen={sentence?.key ?? ''}
            language={language}
            onChoose={choose}
          />
          {listed && listed.unused.length > 0 && filter !== 'open' && (
            <UnusedList
              clips={listed.unused}
              language={language}
              onHear={taking.play}
              onErase={(clip) =>
                taking.askToErase(
                  clip,
                  `Delete the recording of “${clip.text}”? The kiosk no longer says this sentence.`,
                )
              }
            />
          )}
        </fieldset>
      </div>
    </main>
  );
}
