// @vitest-environment happy-dom
import { cleanup, render, screen, within } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Backups, FileSeen } from '../../src/app/desks/keeping';
import { Keep } from '../../src/app/staff/Keep';
import { BackupError } from '../../src/records/backup/errors';

afterEach(() => {
  cleanup();
  vi.restoreAllMocks();
});

const file = new File(['x'], 'backup.ownwords');
const seen = (change: Partial<FileSeen> = {}) =>
  ({
    checked: { head: { at: '2026-03-05T09:30:00Z' }, file: { size: 4_600_000 } },
    sameWard: true,
    ids: ['odo', 'rue'],
    code: true,
    ...change,
  }) as unknown as FileSeen;
const nothing = { added: 0, longer: 0, same: 0, differ: 0, clips: 0 };

function show(change: Partial<Backups> = {}, sealed = true) {
  const backups: Backups = {
    save: vi.fn(async () => ({ file: new Blob(['sealed']), visits: 12 })),
    look: vi.fn(async () => seen()),
    restore: vi.fn(async () => ({ ...nothing, added: 2, differ: 1 })),
    ...change,
  };
  const setUp = vi.fn();
  render(<Keep backups={backups} sealed={sealed} onSetUp={setUp} onBack={() => {}} />);
  return { backups, setUp };
}
const group = (name: string) => within(screen.getByRole('group', { name }));
const choose = () => userEvent.upload(screen.getByLabelText('File'), file);

describe('a backup', () => {
  it('is handed to the downloads when the secret opened, and its size is told', async () => {
    const saved: string[] = [];
    vi.spyOn(URL, 'createObjectURL').mockImplementation(() => 'blob:1');
    vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(function (this: HTMLAnchorElement) {
      saved.push(this.download);
    });
    const { backups } = show();
    await userEvent.type(group('Save a backup').getByLabelText('Your secret'), 'open sesame{Enter}');
    await screen.findByText(/^12 visits saved/);
    expect(backups.save).toHaveBeenCalledWith('open sesame', expect.anything());
    expect(saved).toEqual([expect.stringMatching(/^backup-\d{4}-\d\d-\d\d\.ownwords$/)]);
  });

  it('that was refused is not handed out', async () => {
    const click = vi.spyOn(HTMLAnchorElement.prototype, 'click').mockImplementation(() => {});
    show({ save: vi.fn().mockRejectedValue(new Error('That did not open.')) });
    await userEvent.type(group('Save a backup').getByLabelText('Your secret'), 'wrong{Enter}');
    expect((await screen.findByRole('alert')).textContent).toBe('That did not open.');
    expect(click).not.toHaveBeenCalled();
  });

  it('is not offered before a staff secret is set', async () => {
    const { setUp } = show({}, false);
    expect(group('Save a backup').queryByRole('textbox')).toBe(null);
    await userEvent.click(screen.getByRole('button', { name: 'Set a staff secret' }));
    expect(setUp).toHaveBeenCalledTimes(1);
  });
});

describe('a restore', () => {
  it('begins with a file that is whole, then asks for a secret of the file, and says what it did', async () => {
    const { backups } = show();
    expect(screen.getByRole('button', { name: 'Restore' }).hasAttribute('disabled')).toBe(true);
    await choose();
    await screen.findByText(/Mar 5, 2026.*it is whole. It is from this ward/);
    await userEvent.selectOptions(screen.getByLabelText('Opened by'), 'rue');
    await userEvent.type(screen.getByLabelText('Their secret'), 'brass lantern here');
    await userEvent.click(screen.getByRole('button', { name: 'Restore' }));
    await screen.findByText(/^Restored: 2 visits added\. 1 visit went on in another way/);
    expect(vi.mocked(backups.restore).mock.calls[0]?.[1]).toEqual({
      id: 'rue',
      secret: 'brass lantern here',
    });
  });

  it('by the code from the envelope asks who and why', async () => {
    const { backups } = show({ look: vi.fn(async () => seen({ sameWard: null })) }, false);
    await choose();
    await screen.findByText(/takes over the ids and the key of the file/);
    await userEvent.selectOptions(screen.getByLabelText('Opened by'), '!');
    await userEvent.type(screen.getByLabelText('Code of the file'), '7K3MZ');
    await userEvent.click(screen.getByRole('button', { name: 'Restore' }));
    expect(backups.restore).not.toHaveBeenCalled();
    await userEvent.type(screen.getByLabelText('Your name'), 'N. Ashby');
    await userEvent.type(screen.getByLabelText('Why with the code'), 'the old kiosk fell');
    await userEvent.click(screen.getByRole('button', { name: 'Restore' }));
    expect(vi.mocked(backups.restore).mock.calls[0]?.[1]).toEqual({
      id: '!',
      secret: '7K3MZ',
      reason: 'N. Ashby: the old kiosk fell',
    });
  });

  it('of a damaged file says what and where, and cannot be begun', async () => {
    show({
      look: vi.fn().mockRejectedValue(new BackupError('truncated', 'This backup ends too early, at byte 9.')),
    });
    await choose();
    expect((await screen.findByRole('alert')).textContent).toBe(
      'This backup ends too early, at byte 9. Copy it once more from where it was saved. Nothing was changed here.',
    );
    expect(screen.getByRole('button', { name: 'Restore' }).hasAttribute('disabled')).toBe(true);
  });
});
