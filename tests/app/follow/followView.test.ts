import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { VisitScreen, VisitView } from '../../../machines';
import { modules, readCommon, readModule } from '../../../phrasebanks/read';
import { followMessageSchema, followView, followViewSchema } from '../../../src/app/follow/followView';
import { atRest, openScreens } from '../view';

const common = readCommon('en');
const step = {
  ...{ id: 'puff', title: 'Breathe in and hold', picture: 'inhaler-spacer/hold.svg', pictureText: 'A hand.' },
  ...{ index: 1, count: 5 },
};
const aView = (change: Partial<VisitView>): VisitView => ({ ...atRest, ...change });
const visiting = (change: Partial<VisitView> = {}) =>
  followView({ screen: 'visit', captions: [], visit: aView({ step, ...change }) }, common);

describe('what a following window shows', () => {
  it('is the step, its picture and what is being said', () => {
    expect(visiting({ screen: 'explain', captions: ['One.', 'Two.'], speaking: 1 })).toEqual({
      show: 'visit',
      language: 'en',
      title: common.screens.idleTitle,
      step: {
        ...{ title: 'Breathe in and hold', where: 'Step 2 of 5', index: 1, count: 5 },
        ...{ picture: 'inhaler-spacer/hold.svg', pictureText: 'A hand.' },
      },
      captions: ['One.', 'Two.'],
      speaking: 1,
      listening: '',
    });
  });

  it('is the question while the learner speaks, with how the ear stands', () => {
    expect(
      visiting({ screen: 'listen', question: 'How do you breathe?', captions: ['x'], listening: 'hearing' }),
    ).toMatchObject({ captions: ['How do you breathe?'], listening: common.screens.listening.hearing });
  });

  it('is no step before the first one and after the last', () => {
    expect(visiting({ screen: 'sound-check' })).toMatchObject({ show: 'visit', step: null });
    expect(visiting({ screen: 'summary' })).toMatchObject({ show: 'visit', step: null });
  });

  it('is a call for help at once, whoever called', () => {
    for (const help of ['learner', 'distress', 'staff'] as const) {
      expect(visiting({ screen: 'help', help, captions: ['Help is called.'] })).toEqual({
        ...{ show: 'help', language: 'en', title: common.screens.helpTitle, text: 'Help is called.' },
      });
    }
    expect(visiting({ screen: 'help', captions: [] })).toMatchObject({ text: common.screens.helpText });
  });

  it('is nothing of the visit while the kiosk is covered, and nothing at all when there is none', () => {
    const covered = followView({ screen: 'hidden', captions: ['Touch to go on.'], visit: null }, common);
    expect(covered).toEqual({ show: 'covered', language: 'en', text: 'Touch to go on.' });
    for (const screen of ['idle', 'start'] as const) {
      expect(followView({ screen, captions: [], visit: null }, common).show).toBe('idle');
    }
  });

  it('asks “are you still there?” as the kiosk does', () => {
    const view = followView(
      { screen: 'still-there', captions: ['Still there?'], visit: aView({ step }) },
      common,
    );
    expect(view).toMatchObject({ show: 'visit', captions: ['Still there?'], speaking: -1 });
  });

  it('never holds what the learner said, on whatever screen and however it is said back', () => {
    const words = 'my name is Zebulon Quartz';
    const screens: VisitScreen[] = [...openScreens, 'summary', 'ended'];
    for (const screen of screens) {
      for (const listening of ['off', 'hearing'] as const) {
        const view = visiting({
          ...{ screen, listening, interim: words, question: 'What is it?' },
          captions: [`I heard this: ${words}.`, 'Good.'],
          heard: {
            text: words,
            confidence: 1,
            alternatives: [{ text: words, confidence: 1 }],
            engine: 'typed',
          },
        });
        expect(JSON.stringify(view), screen).not.toContain('Zebulon');
      }
    }
  });

  it('can name the picture of every step of every module', () => {
    const pictures = modules().flatMap((module) => readModule(module).steps.map(({ picture }) => picture));
    expect(pictures.length).toBeGreaterThan(20);
    for (const picture of pictures) {
      expect(followViewSchema.safeParse(visiting({ step: { ...step, picture } })).success, picture).toBe(
        true,
      );
    }
  });

  it('always passes its own check, whatever the visit says', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ unit: 'binary', maxLength: 300 }), { maxLength: 20 }),
        fc.integer({ min: -1, max: 20 }),
        fc.constantFrom('off', 'opening', 'waiting', 'hearing', 'pausing', 'take-your-time', 'closing'),
        (captions, speaking, listening) => {
          const view = visiting({ captions, speaking, listening });
          expect(followViewSchema.safeParse(view).success).toBe(true);
        },
      ),
    );
  });
});

describe('a message between windows', () => {
  const view = visiting();

  it('is taken when it is one of ours, and survives the way of a copy', () => {
    expect(followMessageSchema.parse(structuredClone({ kind: 'view', view }))).toEqual({
      kind: 'view',
      view,
    });
    expect(followMessageSchema.safeParse({ kind: 'hello' }).success).toBe(true);
  });

  it.each([
    [null],
    ['hello'],
    [{ kind: 'goodbye' }],
    [{ kind: 'hello', more: 1 }],
    [{ kind: 'view' }],
    [{ kind: 'view', view: { ...view, name: 'Ines Marlow' } }],
    [{ kind: 'view', view: { ...view, step: { ...step, picture: '../site.json' } } }],
    [{ kind: 'view', view: { ...view, step: { ...step, picture: 'https://elsewhere.example/x.svg' } } }],
    [{ kind: 'view', view: { ...view, captions: Array(101).fill('x') } }],
    [{ kind: 'view', view: { ...view, speaking: 0.5 } }],
    [{ kind: 'view', view: { ...view, language: '<b>' } }],
  ])('is left out else: %j', (given) => {
    expect(followMessageSchema.safeParse(given).success).toBe(false);
  });
});
