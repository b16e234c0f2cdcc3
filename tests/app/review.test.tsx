// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { loadLesson } from '../../src/app/lessons';
import { practiceStart } from '../../src/app/practice';
import { readSite } from '../../src/app/site';
import { ReviewPage } from '../../src/app/staff/ReviewPage';
import { exportSchema } from '../../src/fhir/schema';
import { derive } from '../../src/records/derive';
import type { VisitEvent, VisitFact } from '../../src/records/types';

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

async function opens(practice: boolean, more: VisitFact[] = []) {
  const lesson = await loadLesson('inhaler-spacer', 'en');
  const start = { ...practiceStart(readSite('{}').site, lesson), practice };
  const facts: VisitFact[] = [
    { type: 'visit-started', start },
    ...more,
    { type: 'finished', how: 'stopped' },
  ];
  const at = '2026-03-02T14:00:00.000Z';
  const record = derive(
    facts.map((fact, seq) => ({ visit: start.visit, seq, at, fact })),
    lesson,
  );
  render(<ReviewPage stored={{ record, lesson }} onDone={() => {}} onBack={() => {}} />);
  return start.visit;
}

describe('the review of a visit', () => {
  it('exports the visit as FHIR: a file that is named after it', async () => {
    const saved: { name: string; blob: Blob }[] = [];
    let blob = new Blob();
    vi.spyOn(URL, 'createObjectURL').mockImplementation((given) => {
      blob = given as Blob;
      return 'blob:x';
    });
    vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
      saved.push({ name: this.download, blob });
    });
    const visit = await opens(false);
    await userEvent.click(screen.getByRole('button', { name: 'Export as FHIR' }));
    expect(screen.getByRole('status').textContent).toContain('Saved');
    expect(saved.map(({ name }) => name)).toEqual([`ownwords-fhir-${visit}.json`]);
    expect(saved[0]?.blob.type).toBe('application/fhir+json');
    expect(exportSchema.parse(JSON.parse(await blob.text())).entry.length).toBe(8);
  });

  it('names what heard and what spoke in words, as the note does', async () => {
    await opens(false, [{ type: 'engine-chosen', ear: 'embedded', voice: 'system', why: 'first' }]);
    expect(
      screen.getByText(
        /^Heard by: the built-in recogniser, on the device; spoken by: the device's voice; \d+ min\./,
      ),
    ).toBeDefined();
  });

  it('offers no export of the practice visit, whose learner is invented', async () => {
    await opens(true);
    expect(screen.getByRole('button', { name: 'Copy note' })).toBeDefined();
    expect(screen.queryByRole('button', { name: 'Export as FHIR' })).toBeNull();
  });

  it('shows try after try what was said, with the words that decided it marked', async () => {
    const text = 'I shake it a little';
    const heard = { text, confidence: 0.9, alternatives: [], engine: 'embedded' as const };
    const finding = (attempt: number, label: 'partial' | 'understood', end: number) =>
      [
        {
          type: 'heard',
          step: 'prepare',
          attempt,
          mode: 'voice',
          heard,
          confirmed: null,
        },
        {
          type: 'judged',
          step: 'prepare',
          attempt,
          findings: [
            {
              concept: 'inhaler-spacer.prepare.shake',
              label,
              confidence: 0.8,
              evidence: [{ start: 2, end }],
              reason: 'Because.',
            },
          ],
        },
      ] satisfies VisitFact[];
    await opens(true, [
      { type: 'step-started', step: 'prepare' },
      ...finding(1, 'partial', 7),
      ...finding(2, 'understood', 10),
    ]);
    expect([...document.querySelectorAll('mark')].map((mark) => mark.textContent)).toEqual([
      'shake',
      'shake it',
    ]);
    expect(screen.getByText(/said a part of it, 80 % sure; the built-in recogniser/)).toBeDefined();
  });

  it('names questions without an answer and calls for help before the points', async () => {
    await opens(true, [
      { type: 'question', text: 'Can I wash it', answer: null },
      { type: 'question', text: 'Is it safe', answer: 'Ask the pharmacist.' },
      { type: 'help-called', by: 'distress', text: 'I cannot breathe' },
    ]);
    expect(screen.getByText(/^(?!Still).*1 question has no answer yet/)).toBeDefined();
    const [questions] = screen.getAllByRole('list');
    expect(questions?.textContent).toContain('Can I wash itnot answered yet'.replace('it', 'it '));
    expect(questions?.textContent).toContain('Help was called by words of distress: I cannot breathe');
  });

  it('of a visit in another language is in that of staff, and so is the note; the handout is the learner’s', async () => {
    const [spanish, english] = await Promise.all(
      ['es', 'en'].map((one) => loadLesson('inhaler-spacer', one)),
    );
    const start = practiceStart(readSite('{}').site, spanish!);
    const at = '2026-03-02T14:00:00.000Z';
    const events: VisitEvent[] = [
      { visit: start.visit, seq: 0, at, fact: { type: 'visit-started', start } },
      { visit: start.visit, seq: 1, at, fact: { type: 'finished', how: 'stopped' } },
    ];
    const [stored, chart] = [spanish!, english!].map((lesson) => ({
      record: derive(events, lesson),
      lesson,
    }));
    render(<ReviewPage stored={{ ...stored!, chart: chart! }} onDone={() => {}} onBack={() => {}} />);
    const label = 'inhaler-spacer.prepare.shake';
    const [theirs, ours] = [spanish!, english!].map(({ teaching }) => teaching.concepts[label]!.label);
    expect(theirs).not.toBe(ours);
    expect(screen.getByRole('button', { name: `Decide otherwise: ${ours}` })).toBeDefined();
    const note = document.querySelector('pre')?.textContent;
    expect(note).toContain(english!.teaching.title);
    expect(note).toContain('Language: Spanish');
    expect(note).not.toContain(theirs);
    expect(document.querySelector('[lang=es]')?.textContent).toContain(spanish!.teaching.title);
  });
});
