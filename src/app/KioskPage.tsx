import { useSelector } from '@xstate/react';
import { type ReactNode, useEffect, useMemo, useState } from 'react';
import { kioskViewOf, type PersonEvent, type VisitView } from '../../machines';
import type { CommonFile } from '../../phrasebanks/schema';
import { handoutOf } from '../records/handout';
import { nextIn } from '../records/sitting';
import { summarize, toJson } from '../records/summary';
import { cardsFor, orderAmong } from '../scoring';
import { Handout } from './handout/Handout';
import { usePrint } from './handout/usePrint';
import type { Kiosk } from './kiosk';
import { Cover, StillThere } from './learner/Away';
import { Learner } from './learner/Learner';
import { Scanner } from './learner/Scanner';
import { Summary } from './learner/Summary';
import { cardSeed } from './services/services';
import { downloadJson } from './shared/download';
import { usePageLanguage } from './shared/language';
import { NamesBy } from './shared/naming';
import { steadyTouch } from './shared/steadyTouch';
import { WordsOf } from './shared/words';
import { defaultTimings } from './site';
import { Idle } from './staff/Idle';
import type { KioskState, StoredVisit } from './state';

/** The kiosk itself: idle, a visit, and what happens when nobody is there. */
export function KioskPage({ kiosk, state }: { kiosk: Kiosk; state: KioskState }) {
  const snapshot = useSelector(kiosk.actor, (state) => state);
  const { screen, captions, visit } = kioskViewOf(snapshot);
  useEffect(() => {
    const events = ['pointerdown', 'keydown'] as const;
    const wake = (event: Event) => {
      if (!pressesAway(event)) kiosk.present();
    };
    for (const event of events) window.addEventListener(event, wake);
    return () => {
      for (const event of events) window.removeEventListener(event, wake);
    };
  }, [kiosk]);
  useEffect(steadyTouch, []);

  if (screen === 'idle' || screen === 'start') return <IdlePage kiosk={kiosk} state={state} />;
  const help = () => kiosk.person({ type: 'HELP' });
  const start = snapshot.context.visit?.start;
  const name = start?.audioOnly ? kiosk.name : null;
  return (
    <Speaks common={kiosk.lesson.common}>
      {start?.switches && (
        <Scanner
          switches={start.switches}
          settles={(state.site?.timings ?? defaultTimings).scanSettles}
          rate={visit?.rate ?? 1}
          name={name}
          held={name !== null && (!visit || visit.speaking >= 0 || visit.listening !== 'off')}
        />
      )}
      {screen === 'hidden' && (
        <Cover
          text={captions.join(' ')}
          go={kiosk.lesson.common.screens.next}
          onGo={kiosk.present}
          onHelp={help}
        />
      )}
      {screen === 'parked' && (
        <Cover
          text={captions.join(' ')}
          go={kiosk.lesson.common.screens.visits}
          onGo={kiosk.records.list}
          onHelp={kiosk.helpWhenParked}
        />
      )}
      {visit && (
        <NamesBy value={name ?? silent}>
          <Visit kiosk={kiosk} view={visit} id={start?.visit ?? ''} />
        </NamesBy>
      )}
      {screen === 'still-there' && (
        <StillThere text={captions.join(' ')} onTouch={kiosk.present} onHelp={help} />
      )}
    </Speaks>
  );
}

const silent = () => {};

/**
 * A button of "are you still there?" or of the cover is being pressed by finger or key: it must still be there when
 * the press ends. (A switch has done its press by now.)
 */
function pressesAway(event: Event): boolean {
  const { target, defaultPrevented } = event;
  const presses = !(event instanceof KeyboardEvent) || [' ', 'Enter', 'Tab', 'Shift'].includes(event.key);
  return presses && !defaultPrevented && target instanceof Element && !!target.closest('[data-away] button');
}

/** The screens inside have the words of a language, and the page says that it stands in it. */
function Speaks({ common, children }: { common: CommonFile; children: ReactNode }) {
  usePageLanguage(common.language);
  return <WordsOf value={common.screens}>{children}</WordsOf>;
}

/** Nobody is being taught. After a while it speaks the language of the site again, for whoever comes next. */
function IdlePage({
  kiosk,
  state: { idle, site, outbox, notices, isNew },
}: {
  kiosk: Kiosk;
  state: KioskState;
}) {
  const language = idle?.common.language;
  useEffect(() => {
    if (!site || !language || language === site.language) return;
    const timer = setTimeout(() => void kiosk.speakIdle(site.language), site.timings.inactive);
    return () => clearTimeout(timer);
  }, [kiosk, site, language]);
  if (!idle) return <main data-screen="idle">{notices.join(' ')}</main>;
  return (
    <Speaks common={idle.common}>
      <Idle
        language={idle.common.language}
        languages={idle.languages}
        onLanguage={kiosk.speakIdle}
        onPractice={kiosk.practice}
        onStart={kiosk.openStart}
        onVisits={kiosk.records.list}
        onSetUp={isNew ? kiosk.firstRun.openPage : undefined}
        onNotNow={() => kiosk.firstRun.leave('later')}
        notices={[...notices, ...unfiled(outbox)]}
      />
    </Speaks>
  );
}

/** A line for staff when visits do not get to the record by themselves. */
function unfiled(outbox: KioskState['outbox']): string[] {
  if (!outbox || (outbox.held === 0 && outbox.sealed === 0 && !outbox.problem)) return [];
  const count = outbox.waiting + outbox.held;
  return [
    count === 1
      ? '1 visit is not yet filed in the record. See Visits.'
      : `${count} visits are not yet filed in the record. See Visits.`,
  ];
}

/** The running visit. */
function Visit({ kiosk, view, id }: { kiosk: Kiosk; view: VisitView; id: string }) {
  const { teaching, judging, module } = kiosk.lesson;
  const asked = view.asked.join(' ');
  const [cards, inOrder] = useMemo(() => {
    const concepts = asked.split(' ').filter(Boolean);
    return [
      cardsFor(judging, concepts, cardSeed(concepts)),
      orderAmong(judging, concepts).length > 0,
    ] as const;
  }, [judging, asked]);
  if (view.screen === 'summary' || view.screen === 'ended') {
    return <End kiosk={kiosk} visit={id} view={view} send={kiosk.person} />;
  }
  const points = module.showMe.map((point) => ({ id: point, text: teaching.showMe[point] ?? point }));
  return <Learner view={view} send={kiosk.person} cards={cards} inOrder={inOrder} points={points} />;
}

/** Summary and handout are made from what is stored, so that what is printed is what is kept. */
function End({
  kiosk,
  visit,
  view,
  send,
}: {
  kiosk: Kiosk;
  visit: string;
  view: VisitView;
  send: (event: PersonEvent) => void;
}) {
  // undefined: not read yet; null: cannot be read.
  const [stored, setStored] = useState<StoredVisit | null>();
  const { large, print } = usePrint();
  const { screen, storing } = view;
  // biome-ignore lint/correctness/useExhaustiveDependencies: read again whenever more has been stored
  useEffect(() => {
    let current = true;
    kiosk.stored(visit).then((found) => {
      // What was read a moment ago is better than nothing.
      if (current) setStored((before) => found ?? before ?? null);
    });
    return () => {
      current = false;
    };
  }, [kiosk, visit, screen, storing]);
  const made = useMemo(
    () =>
      stored && {
        summary: summarize(stored.record, stored.lesson),
        handout: handoutOf(stored.record, stored.lesson),
      },
    [stored],
  );
  if (stored === undefined) return null;
  const start = stored?.record.start;
  // Whoever presses at once may be ahead of the last that was stored.
  const save = async () => {
    const now = (await kiosk.stored(visit)) ?? stored;
    if (now) downloadJson(`ownwords-summary-${visit}.json`, toJson(now.record, now.lesson.common.paper));
  };
  return (
    <>
      <Summary
        view={view}
        send={send}
        summary={made?.summary ?? null}
        inMemory={kiosk.inMemory}
        stopped={stored?.record.state === 'stopped'}
        onNext={start && nextIn(start) ? () => kiosk.followOn.next(visit) : undefined}
        onPrint={() => print(start?.barriers.includes('sight') ?? false)}
        onSave={save}
        onClinician={() => kiosk.records.review(visit)}
        onClose={kiosk.close}
      />
      {made && <Handout handout={made.handout} large={large} />}
    </>
  );
}
