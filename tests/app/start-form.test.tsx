// @vitest-environment happy-dom
import { cleanup, render, screen } from '@testing-library/react';
import userEvent from '@testing-library/user-event';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { loadLesson } from '../../src/app/lessons';
import { readSite } from '../../src/app/site';
import { StartForm } from '../../src/app/staff/StartForm';
import type { VisitStart } from '../../src/records/schema';

afterEach(cleanup);

async function opens() {
  const onStart = vi.fn<(start: VisitStart) => void>();
  const lesson = await loadLesson('inhaler-spacer', 'en');
  render(
    <StartForm
      site={readSite('{}').site}
      lessons={[lesson]}
      ears={async () => 'Hears by the built-in recogniser.'}
      onStart={onStart}
      onCancel={() => {}}
    />,
  );
  await userEvent.type(screen.getByLabelText('Name or initials'), ' R. T. ');
  await userEvent.type(screen.getByLabelText('Bed'), '12');
  await userEvent.type(screen.getByLabelText('Your name'), 'J. Moss');
  return { onStart, lesson, start: () => userEvent.click(screen.getByRole('button', { name: 'Start' })) };
}

describe('the start form', () => {
  it('hands over who learns, how, what, and what is particular', async () => {
    const { onStart, lesson, start } = await opens();
    await userEvent.click(screen.getByLabelText('Caregiver'));
    await userEvent.type(screen.getByLabelText('If a caregiver: relation'), 'daughter');
    await userEvent.click(screen.getByLabelText('Hearing'));
    await userEvent.selectOptions(screen.getByLabelText('Learns best by'), 'doing');
    await userEvent.click(screen.getByLabelText('Rinse your mouth'));
    await userEvent.type(screen.getByLabelText('Medicine, as labelled'), 'the blue one');
    await start();
    expect(onStart).toHaveBeenCalledOnce();
    expect(onStart.mock.calls[0]![0]).toMatchObject({
      practice: false,
      ward: 'Harbor 4',
      bed: '12',
      learner: { role: 'caregiver', name: 'R. T.', relation: 'daughter' },
      barriers: ['hearing'],
      prefers: 'doing',
      module: 'inhaler-spacer',
      steps: lesson.module.steps.map((step) => step.id).filter((id) => id !== 'after'),
      particulars: { medicine: 'the blue one', callNumber: '555-0142', emergencyNumber: '911' },
    });
  });

  it('says which ear there is, and that the texts are not reviewed', async () => {
    await opens();
    expect(await screen.findByText('Hears by the built-in recogniser.')).toBeTruthy();
    expect(screen.getByText('These texts have not been reviewed by a qualified person.')).toBeTruthy();
  });

  it('does not start with nothing to teach, and says so', async () => {
    const { onStart, lesson, start } = await opens();
    for (const step of lesson.module.steps) {
      await userEvent.click(screen.getByLabelText(lesson.teaching.steps[step.id]!.title));
    }
    await start();
    expect(onStart).not.toHaveBeenCalled();
    expect(screen.getByRole('alert').textContent).toBe('Choose at least one part to teach.');
  });
});
