import { createRoot } from 'react-dom/client';
import { Handout } from '../../../../src/app/handout/Handout';
import { loadLesson } from '../../../../src/app/lessons';
import { practiceStart } from '../../../../src/app/practice';
import { readSite } from '../../../../src/app/site';
import '../../../../src/app/shared/tokens.css';
import { derive } from '../../../../src/records/derive';
import { handoutOf } from '../../../../src/records/handout';
import type { VisitFact } from '../../../../src/records/types';

/* ?module=...&language=...&missed=2&large: the handout of an invented visit with so many points missed. */

const asked = new URLSearchParams(location.search);
const [name, language] = [asked.get('module') ?? '', asked.get('language') ?? ''];
const { module, teaching, common } = await loadLesson(name, language);

let missing = Number(asked.get('missed') ?? 0);
const facts: VisitFact[] = [
  { type: 'visit-started', start: practiceStart(readSite('{}').site, { module, common }) },
  ...module.steps.flatMap(({ id, concepts }): VisitFact[] => [
    { type: 'step-started', step: id },
    {
      type: 'judged',
      step: id,
      attempt: 1,
      findings: concepts.map((concept) => ({
        concept: concept.id,
        label: missing-- > 0 ? ('missed' as const) : ('understood' as const),
        confidence: 0.9,
        evidence: [],
        reason: 'invented',
      })),
    },
    { type: 'step-finished', step: id },
  ]),
  { type: 'question', text: '¿Puede mi nieto jugar con esto? Can my grandson play with it?', answer: null },
  { type: 'finished', how: 'completed' },
];
const events = facts.map((fact, seq) => ({
  visit: 'handout',
  seq,
  at: new Date(Date.UTC(2026, 10, 26, 9, seq)).toISOString(),
  fact,
}));
const record = derive(events, { module, teaching });
createRoot(document.getElementById('root')!).render(
  <Handout handout={handoutOf(record, { module, teaching, common })} large={asked.has('large')} />,
);
