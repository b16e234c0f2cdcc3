// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { OnServer } from '../../src/app/staff/OnServer';
import { Visits } from '../../src/app/staff/Visits';
import type { FiledNote, FiledPage } from '../../src/fhir/filed';
import { noVisits } from './noVisits';

afterEach(cleanup);

const nothing = () => {};
const note = (n: number, changes: Partial<FiledNote> = {}): FiledNote => ({
  ...{
    id: `n${n}`,
    visit: `v${n}`,
    at: `2026-03-02T14:0${n}:00Z`,
    patient: `Ines Marlow ${n}`,
    number: `A-${n}`,
  },
  ...{ kiosk: 'harbor-4-bed-12', title: 'Patient education by teach-back: Inhaler', status: 'current' },
  ...{ docStatus: 'preliminary', language: 'en', text: `What was said, ${n}` },
  ...changes,
});
const page = (notes: FiledNote[], done = true, unreadable = 0): FiledPage => ({ notes, done, unreadable });

async function shows(
  more: () => Promise<FiledPage>,
  onRead: (visit: string) => Promise<void> = async () => {},
) {
  render(<OnServer more={more} onRead={onRead} onBack={nothing} onClose={nothing} />);
  await vi.waitFor(() => expect(screen.getByRole('status').textContent).not.toContain('Asking'));
}
const rows = () =>
  screen
    .getAllByRole('row')
    .slice(1)
    .map(({ textContent }) => textContent);

describe('what is on the server', () => {
  it('is listed with time, patient, kiosk and how far it is signed', async () => {
    await shows(async () =>
      page([
        note(4, { docStatus: 'final' }),
        note(3, { docStatus: 'amended' }),
        note(2, { status: 'entered-in-error' }),
        note(1, { patient: '', docStatus: '', kiosk: '' }),
        note(0, { patient: '', number: '', status: 'superseded' }),
      ]),
    );
    const [first, second, third, fourth, fifth] = rows();
    expect(first).toMatch(/Mar 2, 2026.*Ines Marlow 4.*harbor-4-bed-12.*signed/);
    expect(second).toContain('signed, changed since');
    expect(third).toContain('entered in error');
    expect(fourth).toMatch(/A-1.*not given.*the server does not say/);
    expect(fifth).toMatch(/name not given.*replaced/);
  });

  it('comes page by page, until there are no older notes', async () => {
    const pages = [page([note(2)], false), page([note(1)])];
    const more = vi.fn(async () => pages.shift()!);
    await shows(more);
    expect(rows()).toHaveLength(1);
    await userEvent.click(screen.getByRole('button', { name: 'Older notes' }));
    await vi.waitFor(() => expect(rows()).toHaveLength(2));
    expect(screen.getByRole('status').textContent).toBe('There are no older notes.');
    expect(screen.queryByRole('button', { name: 'Older notes' })).toBeNull();
  });

  it('says what is the matter with the server, and asks again on a press', async () => {
    const more = vi.fn<() => Promise<FiledPage>>();
    more.mockRejectedValueOnce(new Error('The record server cannot be reached.'));
    more.mockResolvedValueOnce(page([note(1)]));
    await shows(more);
    expect(screen.getByRole('alert').textContent).toBe('The record server cannot be reached.');
    await userEvent.click(screen.getByRole('button', { name: 'Try again' }));
    await vi.waitFor(() => expect(rows()).toHaveLength(1));
    expect(screen.queryByRole('alert')).toBeNull();
  });

  it('says so when nothing is there, and when something cannot be read', async () => {
    await shows(async () => page([], true, 2));
    expect(screen.getByText('No note of a kiosk is on the server.')).toBeDefined();
    expect(screen.getByText('2 entries on the server could not be read and are not shown.')).toBeDefined();
  });

  it('is read one note at a time, after it was noted who does, and the focus comes back to it', async () => {
    const onRead = vi.fn(async () => {});
    await shows(async () => page([note(2, { docStatus: 'final', language: 'fr' }), note(1)]), onRead);
    await userEvent.click(screen.getByRole('button', { name: /^Read: Ines Marlow 2/ }));
    await screen.findByText('What was said, 2');
    expect(onRead).toHaveBeenCalledWith('v2');
    expect(document.activeElement).toBe(screen.getByRole('heading', { level: 1, name: 'Ines Marlow 2' }));
    expect(screen.getByText(/Record number A-2/).textContent).toContain('kiosk harbor-4-bed-12');
    expect(screen.getByText('signed')).toBeDefined();
    expect(screen.getByText(/in this language: Français/)).toBeDefined();
    await userEvent.click(screen.getByRole('button', { name: 'Back to the list' }));
    expect(document.activeElement?.getAttribute('aria-label')).toMatch(/^Read: Ines Marlow 2/);
    expect(rows()).toHaveLength(2);
  });

  it('is not shown when it cannot be noted who reads it', async () => {
    await shows(
      async () => page([note(1)]),
      async () => {
        throw new Error('The trail cannot be written.');
      },
    );
    await userEvent.click(screen.getByRole('button', { name: /^Read/ }));
    expect((await screen.findByRole('alert')).textContent).toBe('The trail cannot be written.');
    expect(screen.queryByText('What was said, 1')).toBeNull();
  });

  it('says so where the server keeps the text somewhere else, or names a language that is none', async () => {
    await shows(async () => page([note(1, { text: null, language: 'not a tag!' })]));
    await userEvent.click(screen.getByRole('button', { name: /^Read/ }));
    await screen.findByText(/somewhere else. Open it in the chart/);
    expect(screen.getByText(/in this language: not a tag!/)).toBeDefined();
  });
});

describe('the list of visits', () => {
  const shows = (sealed: boolean, onServer: (() => void) | null) =>
    render(
      <Visits
        {...noVisits}
        sealing={sealed ? { state: 'sealed', by: 'R. Quillon' } : { state: 'open' }}
        onServer={onServer}
      />,
    );

  it('leads there where visits are filed and staff have opened', async () => {
    const onServer = vi.fn();
    shows(true, onServer);
    await userEvent.click(screen.getByRole('button', { name: 'On the server' }));
    expect(onServer).toHaveBeenCalledOnce();
  });

  it('says what it takes where there is no staff secret, as patients of others are named there', () => {
    shows(false, nothing);
    expect(screen.queryByRole('button', { name: 'On the server' })).toBeNull();
    expect(screen.getByText(/can be read here once there is a staff secret/)).toBeDefined();
  });

  it('says nothing of it where no visits are filed', () => {
    shows(true, null);
    expect(screen.queryByRole('button', { name: 'On the server' })).toBeNull();
  });
});
