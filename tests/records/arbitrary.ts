import fc from 'fast-check';
import { engineIds } from '../../src/hearing/types';
import { decisions } from '../../src/records/schema';
import type { VisitFact } from '../../src/records/types';
import { labels } from '../../src/scoring/types';
import { started } from './fixtures';

const step = fc.constantFrom('light', 'care', 'unknown', '__proto__', 'constructor');
const concept = fc.constantFrom(
  'lamp.light.shake',
  'lamp.light.lips',
  'lamp.light.extra',
  'lamp.care.rinse',
  'lamp.care.call',
  'toString',
);
const concepts = fc.uniqueArray(concept, { maxLength: 4 });
const text = fc.oneof(
  fc.string(),
  fc.string({ unit: 'binary' }),
  fc.constant('<img src=x onerror=1>\nSigned: me'),
);
const words = fc.oneof(fc.constant('It was said.'), text).filter((said) => /\S/.test(said));
const by = fc.record({ name: words, id: fc.constant('rue') }, { requiredKeys: ['name'] });
const unit = fc.double({ min: 0, max: 1, noNaN: true });
const whole = fc.integer({ min: 0, max: 9 });
const finding = fc.record(
  {
    concept,
    label: fc.constantFrom(...labels),
    confidence: unit,
    evidence: fc.array(fc.record({ start: fc.integer({ min: -3, max: 90 }), end: whole }), { maxLength: 3 }),
    contradiction: text,
    reason: text,
  },
  { requiredKeys: ['concept', 'label', 'confidence', 'evidence', 'reason'] },
);
const heard = fc.record({
  text,
  confidence: unit,
  alternatives: fc.constant([]),
  engine: fc.constantFrom(...engineIds),
});
const is = <T extends string>(type: T) => fc.constant(type);

const fact = fc.oneof(
  fc.record({
    type: is('engine-chosen'),
    ear: fc.constantFrom(...engineIds),
    voice: fc.constantFrom('clip', 'system'),
    why: text,
  }),
  fc.record({ type: is('cloud-asked'), engine: fc.constantFrom(...engineIds), agreed: fc.boolean() }),
  fc.record({ type: is('sound-checked'), ok: fc.boolean(), detail: text }),
  fc.record({ type: is('step-started'), step }),
  fc.record({ type: is('explained'), step, wording: fc.constantFrom('first', 'repeat', 'simplest') }),
  fc.record({ type: is('asked'), step, attempt: whole, concepts, text }),
  fc.record({
    type: is('heard'),
    step,
    attempt: whole,
    mode: fc.constantFrom('voice', 'touch', 'typed'),
    heard,
    confirmed: fc.constantFrom(true, false, null),
  }),
  fc.record({ type: is('not-heard'), step, reason: text }),
  fc.record({ type: is('judged'), step, attempt: whole, findings: fc.array(finding, { maxLength: 4 }) }),
  fc.record({ type: is('retaught'), step, attempt: whole, concepts }),
  fc.record({ type: is('handed-over'), step, concepts }),
  fc.record({ type: is('step-finished'), step }),
  fc.record({ type: is('question'), text, answer: fc.option(text) }),
  fc.record({ type: is('help-called'), by: fc.constantFrom('learner', 'distress', 'staff'), text }),
  fc.record({
    type: is('show-me'),
    point: fc.constantFrom('shake', 'seal', 'constructor'),
    shown: fc.boolean(),
    by: fc.option(by, { nil: undefined }),
  }),
  fc.record({ type: is('decided'), concept, decision: fc.constantFrom(...decisions), reason: words, by }),
  fc.record({ type: is('decision-taken-back'), concept, by }),
  fc.record({ type: is('answered'), question: whole, answer: words, by }),
  fc.record({ type: is('signed'), by }),
  fc.record({ type: is('record-number'), number: text }),
  fc.record({ type: is('patient-checked'), number: text, patient: text, shown: text, yes: fc.boolean() }),
  fc.record({ type: is('paused'), why: text }),
  fc.record({ type: is('resumed') }),
  fc.record({ type: is('finished'), how: fc.constantFrom('completed', 'stopped') }),
) as fc.Arbitrary<VisitFact>;

/** Facts of a visit that the log accepts, sensible or not; names and words hold anything. */
export const anyVisit: fc.Arbitrary<VisitFact[]> = fc
  .tuple(text, fc.array(fact, { maxLength: 40 }))
  .map(([name, facts]) => [started({ learner: { role: 'patient', name } }), ...facts]);
