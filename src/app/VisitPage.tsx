import { useSelector } from '@xstate/react';
import { useEffect, useMemo, useState } from 'react';
import { type PersonEvent, type VisitView, viewOf } from '../../machines';
import { handoutOf } from '../records/handout';
import { summarize, toJson } from '../records/summary';
import { cardsFor } from '../scoring';
import { Handout } from './handout/Handout';
import type { Kiosk, RunningVisit, StoredVisit } from './kiosk';
import { Learner } from './learner/Learner';
import { Summary } from './learner/Summary';
import { cardSeed } from './services/services';
import { wakeSound } from './services/sound';

/** The running visit on screen. */
export function VisitPage({ kiosk, visit }: { kiosk: Kiosk; visit: RunningVisit }) {
  const { actor, lesson } = visit;
  const snapshot = useSelector(actor, (state) => state);
  const view = viewOf(snapshot);
  const { teaching, judging, module } = lesson;
  const { start } = snapshot.context;
  const send = (event: PersonEvent) => {
    wakeSound();
    actor.send(event);
  };
  const asked = view.asked.join(' ');
  const cards = useMemo(() => {
    const concepts = asked.split(' ').filter(Boolean);
    return cardsFor(judging, concepts, cardSeed(concepts));
  }, [judging, asked]);

  if (view.screen === 'summary' || view.screen === 'ended') {
    return <End kiosk={kiosk} visit={start.visit} view={view} send={send} />;
  }
  const points = module.showMe.map((id) => ({ id, text: teaching.showMe[id] ?? id }));
  return <Learner view={view} send={send} cards={cards} points={points} />;
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
  const [stored, setStored] = useState<StoredVisit | null>(null);
  const { screen, unsaved } = view;
  // biome-ignore lint/correctness/useExhaustiveDependencies: read again when the visit ends or more is stored
  useEffect(() => {
    let current = true;
    kiosk.stored(visit).then((found) => current && setStored(found));
    return () => {
      current = false;
    };
  }, [kiosk, visit, screen, unsaved]);
  const made = useMemo(
    () =>
      stored && {
        summary: summarize(stored.record, stored.lesson.teaching),
        handout: handoutOf(stored.record, stored.lesson),
      },
    [stored],
  );
  if (!stored || !made) return null;
  const save = () => {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(
      new Blob([`${JSON.stringify(toJson(stored.record), null, 2)}\n`], { type: 'application/json' }),
    );
    link.download = `ownwords-summary-${visit}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
  };
  return (
    <>
      <Summary
        view={view}
        send={send}
        summary={made.summary}
        onPrint={() => window.print()}
        onSave={save}
        onClinician={() => kiosk.review(visit)}
        onClose={kiosk.close}
      />
      <Handout handout={made.handout} />
    </>
  );
}
