// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { loadLesson } from '../../src/app/lessons';
import { readSite } from '../../src/app/site';
import { Record } from '../../src/app/staff/Record';
import { StartForm } from '../../src/app/staff/StartForm';
import { Visits } from '../../src/app/staff/Visits';
import { type OutboxView, viewOf } from '../../src/fhir/outbox';
import { freshRow } from '../../src/records/rows';
import type { VisitStart } from '../../src/records/schema';
import type { OutboxRow } from '../../src/records/types';
import { noVisits } from './noVisits';

afterEach(cleanup);

const visit = '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11';
const other = '8d1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b22';
const third = '5c1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b33';
const nothing = () => {};
const held: OutboxRow = { ...freshRow(visit), state: 'held', problem: 'Nobody has this number.' };

describe('the start form', () => {
  const opens = async (site: string) => {
    const onStart = vi.fn<(start: VisitStart) => void>();
    const lesson = await loadLesson('inhaler-spacer', 'en');
    const read = readSite(site).site;
    render(
      <StartForm site={read} lessons={[lesson]} ears={async () => ''} onStart={onStart} onCancel={nothing} />,
    );
    await userEvent.type(screen.getByLabelText('Name or initials'), 'R. T.');
    await userEvent.type(screen.getByLabelText('Bed'), '12');
    await userEvent.type(screen.getByLabelText('Your name'), 'J. Moss');
    return onStart;
  };
  const server = '{"recordServer":{"address":"/fhir","patientSystem":"urn:oid:2.999.4.1"}}';

  it('asks for the record number where visits are filed', async () => {
    const onStart = await opens(server);
    await userEvent.type(screen.getByLabelText(/^Record number/), ' A-19 ');
    await userEvent.click(screen.getByRole('button', { name: 'Start' }));
    expect(onStart.mock.calls[0]?.[0].recordNumber).toBe('A-19');
  });

  it('takes none for an answer, and says of filing only where there is some', async () => {
    const onStart = await opens(server);
    await userEvent.click(screen.getByRole('button', { name: 'Start' }));
    expect(onStart.mock.calls[0]?.[0]).not.toHaveProperty('recordNumber');
    cleanup();
    await opens('{}');
    expect(screen.getByLabelText(/^Record number/).closest('label')?.textContent).not.toMatch(/file/);
  });
});

describe('the list of visits', () => {
  const shows = (outbox: OutboxView | null, onFileNow = nothing, keptAside = 0) =>
    render(
      <Visits
        {...noVisits}
        keptAside={keptAside}
        visits={[visit, other, third].map((id) => ({
          visit: id,
          practice: false,
          startedAt: '2026-03-02T14:00:00Z',
          lastAt: '2026-03-02T14:20:00Z',
          finished: 'completed',
          next: 3,
          signed: 'yes',
        }))}
        outbox={outbox}
        onFileNow={onFileNow}
      />,
    );

  it('says how much could not be read and is set aside, and nothing where there is none', () => {
    const { unmount } = shows(null, nothing, 3);
    expect(
      screen.getByText(
        /^3 stored entries could not be read and are set aside\. .* A backup includes them\.$/,
      ),
    ).toBeTruthy();
    unmount();
    shows(null, nothing, 1);
    expect(
      screen.getByText(/^1 stored entry could not be read and is set aside\. .* A backup includes it\.$/),
    ).toBeTruthy();
    cleanup();
    shows(null);
    expect(screen.queryByText(/set aside/)).toBe(null);
  });

  it('says how many wait, what holds them up, and tries again on a press', async () => {
    const onFileNow = vi.fn();
    const filed: OutboxRow = { ...freshRow(third), state: 'filed', filedAt: '2026-03-02T14:21:00Z' };
    shows(viewOf([held, freshRow(other), filed], new Set([other])), onFileNow);
    expect(screen.getByRole('status').textContent).toBe(
      'Filing in the record: 1 waiting, 1 of them sealed until staff open the records, 1 held until somebody of the staff acts.',
    );
    expect(screen.getByText('Nobody has this number.')).toBeDefined();
    const rows = screen.getAllByRole('row').map(({ textContent }) => textContent);
    expect(rows[0]).toContain('not filed: open it');
    expect(rows[1]).toContain('waiting to be filed');
    expect(rows[2]).toContain('filed in the record, Mar 2, 2026');
    await userEvent.click(screen.getByRole('button', { name: 'Try again' }));
    expect(onFileNow).toHaveBeenCalledOnce();
  });

  it('says nothing of it where visits are not filed', () => {
    shows(null);
    expect(screen.queryByLabelText('Filing in the record')).toBeNull();
  });
});

describe('the record of a visit in its review', () => {
  it('takes the number of a visit that had none', async () => {
    const onFile = vi.fn();
    render(<Record number={null} row={undefined} onFile={onFile} />);
    await userEvent.type(screen.getByLabelText('Record number of the patient'), 'A-19');
    await userEvent.click(screen.getByRole('button', { name: 'File in the record' }));
    expect(onFile).toHaveBeenCalledWith('A-19');
  });

  it('shows what holds it, and tries it again with the same number or another one', async () => {
    const onFile = vi.fn();
    render(<Record number="A-19" row={held} onFile={onFile} />);
    expect(screen.getByText('Nobody has this number.')).toBeDefined();
    await userEvent.click(screen.getByRole('button', { name: 'Try again' }));
    expect(onFile).toHaveBeenLastCalledWith(undefined);
    await userEvent.type(screen.getByLabelText('Record number of the patient'), '0');
    await userEvent.click(screen.getByRole('button', { name: 'Try again' }));
    expect(onFile).toHaveBeenLastCalledWith('A-190');
  });

  it('takes a word that it was put into the chart by hand, only while it is held', async () => {
    const onSettled = vi.fn();
    const { rerender } = render(<Record number="A-19" row={held} onFile={nothing} onSettled={onSettled} />);
    await userEvent.click(screen.getByRole('button', { name: 'It is in the chart' }));
    expect(onSettled).toHaveBeenCalledOnce();
    expect(document.activeElement).toBe(screen.getByRole('status'));
    rerender(<Record number="A-19" row={freshRow(visit)} onFile={nothing} onSettled={onSettled} />);
    expect(screen.queryByRole('button', { name: 'It is in the chart' })).toBeNull();
  });

  describe('where the record has another name under the number', () => {
    const asked = { number: 'A-91', patient: 'Patient/2', name: 'Tobin Vance', born: '1950-05-04' };
    const shows = (change = {}) => {
      const onWhose = vi.fn();
      render(
        <Record
          number="A-91"
          row={{ ...held, asks: 'patient' }}
          asked={{ ...asked, ...change }}
          entered="I. M., the patient, Harbor 4, bed 12"
          onWhose={onWhose}
          onFile={nothing}
        />,
      );
      return onWhose;
    };

    it('names whom it has, beside whom the start form named, and takes a yes for just that patient', async () => {
      const onWhose = shows();
      const question = screen.getByRole('group', { name: 'Whose visit is this?' });
      expect(question.textContent).toContain(
        'The record number A-91 belongs to Tobin Vance (born May 4, 1950). Is that the patient of this visit?',
      );
      expect(question.textContent).toContain('I. M., the patient, Harbor 4, bed 12');
      await userEvent.click(screen.getByRole('button', { name: 'Yes, file it there' }));
      expect(onWhose).toHaveBeenCalledWith(asked, true);
      expect(document.activeElement).toBe(screen.getByRole('status'));
    });

    it('takes a no, and goes to the number that has to be put right', async () => {
      const onWhose = shows();
      await userEvent.click(screen.getByRole('button', { name: 'No, the number is wrong' }));
      expect(onWhose).toHaveBeenCalledWith(asked, false);
      expect(document.activeElement).toBe(screen.getByLabelText('Record number of the patient'));
    });

    it.each([
      [{ born: '1950' }, '(born 1950)'],
      [{ born: '1950-05' }, '(born 1950-05)'],
      [{ born: '' }, '(date of birth not known)'],
      [{ name: '' }, 'belongs to somebody whose name the record does not have'],
    ])('says what the record does not know: %o', (change, sentence) => {
      shows(change);
      expect(screen.getByRole('group').textContent).toContain(sentence);
    });

    it('asks nothing where nothing is asked', () => {
      render(<Record number="A-19" row={held} onFile={nothing} />);
      expect(screen.queryByRole('group')).toBeNull();
    });
  });

  it('has nothing to be done once the visit is filed', () => {
    const row: OutboxRow = { ...freshRow(visit), state: 'filed', filedAt: '2026-03-02T14:21:00Z' };
    render(<Record number="A-19" row={row} onFile={nothing} />);
    expect(screen.getByRole('status').textContent).toContain('filed in the record');
    expect(screen.queryByRole('button')).toBeNull();
  });
});
