// @vitest-environment happy-dom
import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Room } from '../../src/app/desks/staffRoom';
import { OpenRecords } from '../../src/app/staff/OpenRecords';
import { People } from '../../src/app/staff/People';
import { SetUp } from '../../src/app/staff/SetUp';
import { entryAfter } from '../../src/records/seal/trail';

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

/** Opens by "open sesame", adds nobody called odo. */
function room(change: Partial<Room> = {}) {
  return {
    setUp: vi.fn(async () => '7K3MZ-0QW2E'),
    open: vi.fn(async (_id: string, secret: string) => {
      if (secret !== 'open sesame') throw new Error('That did not open.');
    }),
    openInEmergency: vi.fn(async () => {}),
    people: vi.fn(async () => [
      { id: 'odo', name: 'O. Fennimore', locked: true, unreadable: null },
      { id: 'rue', name: 'R. Quillon', locked: false, unreadable: null },
    ]),
    trail: vi.fn(async () => ({ entries: [], broken: null })),
    add: vi.fn(async () => {}),
    letIn: vi.fn(async () => {}),
    remove: vi.fn(async () => {}),
    renewCode: vi.fn(async () => '9ABCD-EFGHJ'),
    ...change,
  } as unknown as Room;
}

describe('opening the records', () => {
  it('goes by keys alone, says what was refused, and goes on only when it opened', async () => {
    const opened = vi.fn();
    const one = room();
    render(<OpenRecords room={one} onOpened={opened} onBack={() => {}} />);
    await userEvent.tab();
    await userEvent.keyboard('rue');
    await userEvent.tab();
    await userEvent.keyboard('open please{Enter}');
    expect((await screen.findByRole('alert')).textContent).toBe('That did not open.');
    expect(opened).not.toHaveBeenCalled();
    const secret = screen.getByLabelText<HTMLInputElement>('Your secret');
    expect(secret.type).toBe('password');
    await userEvent.clear(secret);
    await userEvent.type(secret, 'open sesame{Enter}');
    expect(one.open).toHaveBeenLastCalledWith('rue', 'open sesame');
    expect(opened).toHaveBeenCalledTimes(1);
    expect(screen.queryByRole('alert')).toBe(null);
  });
});

describe('the first secret', () => {
  const filled = async (again: string) => {
    await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon');
    await userEvent.type(screen.getByLabelText(/short id/), 'rue');
    await userEvent.type(screen.getByLabelText('Secret'), 'brass lantern here');
    await userEvent.type(screen.getByLabelText('The same again'), again);
    await userEvent.click(screen.getByRole('button', { name: 'Seal the records' }));
  };

  it('typed in two ways is not taken', async () => {
    const one = room();
    render(<SetUp room={one} onDone={() => {}} onBack={() => {}} />);
    await filled('brass lantern there');
    expect((await screen.findByRole('alert')).textContent).toMatch(/not the same/);
    expect(one.setUp).not.toHaveBeenCalled();
  });

  it('shows the code for the envelope until somebody has written it down', async () => {
    const done = vi.fn();
    const one = room();
    render(<SetUp room={one} onDone={done} onBack={() => {}} />);
    await filled('brass lantern here');
    expect(one.setUp).toHaveBeenCalledWith({ id: 'rue', name: 'R. Quillon', secret: 'brass lantern here' });
    await screen.findByText('7K3MZ-0QW2E');
    expect(done).not.toHaveBeenCalled();
    await userEvent.click(screen.getByRole('button', { name: 'It is written down' }));
    expect(done).toHaveBeenCalledTimes(1);
  });
});

it('nobody leaves the first secret while it is set: its code is shown once', async () => {
  let sealed = (_code: string) => {};
  const setUp = () =>
    new Promise<string>((resolve) => {
      sealed = resolve;
    });
  const back = vi.fn();
  render(<SetUp room={room({ setUp })} onDone={() => {}} onBack={back} />);
  await userEvent.type(screen.getByLabelText('Your name'), 'R. Quillon');
  await userEvent.type(screen.getByLabelText(/short id/), 'rue');
  for (const label of ['Secret', 'The same again'])
    await userEvent.type(screen.getByLabelText(label), 'brass lantern here');
  await userEvent.click(screen.getByRole('button', { name: 'Seal the records' }));
  await userEvent.click(screen.getByRole('button', { name: 'Back' }));
  expect(back).not.toHaveBeenCalled();
  sealed('7K3MZ-0QW2E');
  await screen.findByText('7K3MZ-0QW2E');
});

describe('staff and trail', () => {
  const show = async (one: Room) => {
    render(<People room={one} me="rue" kiosk="Harbor 4" onBack={() => {}} onClose={() => {}} />);
    await screen.findByText('O. Fennimore');
  };

  it('lets in who is locked, and offers nobody to remove themselves', async () => {
    const one = room();
    await show(one);
    expect(screen.queryByRole('button', { name: 'Remove: rue' })).toBe(null);
    await userEvent.click(screen.getByRole('button', { name: 'Let in again: odo' }));
    expect(one.letIn).toHaveBeenCalledWith('odo');
  });

  it('says whose entry cannot be read and what to do, and takes nobody for the envelope', async () => {
    const people = async () => [
      { id: '!', name: '', locked: false, unreadable: 'cannot be read: renew the code' },
      { id: 'ann', name: '', locked: false, unreadable: 'cannot be read: remove it' },
      { id: 'odo', name: 'O. Fennimore', locked: false, unreadable: null },
    ];
    const one = room({ people });
    await show(one);
    const row = (name: RegExp) => within(screen.getByRole('row', { name }));
    expect(row(/^envelope .*renew the code/).queryByRole('button')).toBe(null);
    await userEvent.click(row(/^ann .*remove it/).getByRole('button', { name: 'Remove: ann' }));
    expect(one.remove).toHaveBeenCalledWith('ann');
  });

  it('adds an id with the secrets of both, and says why it did not', async () => {
    const one = room({ add: vi.fn().mockRejectedValueOnce(new Error('There is an “ann” already.')) });
    await show(one);
    const form = within(screen.getByRole('group', { name: 'Add an id' }));
    await userEvent.type(form.getByLabelText('Name'), 'A. Nettle');
    await userEvent.type(form.getByLabelText('Short id'), 'ann');
    await userEvent.type(form.getByLabelText(/typed by them/), 'seven green kettles');
    await userEvent.type(form.getByLabelText('Your own secret'), 'open sesame');
    await userEvent.click(form.getByRole('button', { name: 'Add' }));
    expect(one.add).toHaveBeenCalledWith('open sesame', {
      id: 'ann',
      name: 'A. Nettle',
      secret: 'seven green kettles',
    });
    expect((await screen.findByRole('alert')).textContent).toMatch(/already/);
  });

  it.each([
    ['Renew', 'Your secret (or the present code)', 'renewCode'],
    ['Exchange', 'Your own secret, to exchange it', 'exchangeKey'],
  ] as const)('nobody leaves while "%s" makes a code that is shown once', async (button, field, work) => {
    let made = (_code: string) => {};
    const making = new Promise<string>((done) => {
      made = done;
    });
    await show(room({ [work]: () => making }));
    await userEvent.type(screen.getByLabelText(field), 'four words and more');
    await userEvent.click(screen.getByRole('button', { name: button }));
    const leaves = ['Back', 'Close the records'].map((name) =>
      screen.getByRole<HTMLButtonElement>('button', { name }),
    );
    expect(leaves.map(({ disabled }) => disabled)).toEqual([true, true]);
    made('AAAA-BBBB');
    expect(await screen.findByText(/AAAA-BBBB/)).toBeTruthy();
  });

  it('says when the trail was changed', async () => {
    await show(room({ trail: async () => ({ entries: [], broken: 'entry 4 was changed' }) }));
    await screen.findByText(/was changed or cannot be read: entry 4 was changed/);
  });

  it('saves the trail as a file, with an entry about that', async () => {
    const saved: Blob[] = [];
    vi.spyOn(URL, 'createObjectURL').mockImplementation((blob) => `blob:${saved.push(blob as Blob)}`);
    vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(() => {});
    const note = vi.fn(async () => {});
    const entry = { seq: 0, at: '2026-03-02T14:00:00Z', who: 'rue', what: 'opened', before: '', hash: 'abc' };
    await show(room({ note, trail: async () => ({ entries: [entry as never], broken: null }) }));
    await userEvent.click(screen.getByRole('button', { name: 'Save as a file' }));
    await vi.waitFor(() => expect(saved).toHaveLength(1));
    expect(note).toHaveBeenCalledWith('trail-exported');
    expect(JSON.parse(await saved[0]!.text())).toMatchObject({ format: 'ownwords-trail', entries: [entry] });
  });

  it('saves it as FHIR AuditEvents as well, of this kiosk', async () => {
    const saved: Blob[] = [];
    vi.spyOn(URL, 'createObjectURL').mockImplementation((blob) => `blob:${saved.push(blob as Blob)}`);
    vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(() => {});
    const note = vi.fn(async () => {});
    const entry = await entryAfter(null, '2026-03-02T14:00:00.000Z', { who: 'rue', what: 'opened' });
    await show(room({ note, trail: async () => ({ entries: [entry], broken: null }) }));
    await userEvent.click(screen.getByRole('button', { name: 'Save as FHIR AuditEvents' }));
    await vi.waitFor(() => expect(saved).toHaveLength(1));
    expect(note).toHaveBeenCalledWith('trail-exported');
    expect(saved[0]?.type).toBe('application/fhir+json');
    const { entry: parts } = JSON.parse(await saved[0]!.text());
    expect(parts.at(-1).resource).toMatchObject({
      resourceType: 'AuditEvent',
      subtype: [{ code: '110122' }, { code: 'opened', display: 'opened the records' }],
      source: { observer: { display: 'Ownwords kiosk, Harbor 4' } },
    });
  });
});
