import { expect } from 'vitest';
import type { PersonEvent, VisitView } from '../../machines/types';
import type { VisitHarness } from './harness';

/** What somebody who only presses buttons does next on each screen; null: waits. */
export const nextTouch = (view: VisitView): PersonEvent | null => {
  switch (view.screen) {
    case 'help':
      return { type: view.help === null ? 'GO_ON' : 'HELP_OVER' };
    case 'cloud':
      return { type: 'NO' };
    case 'trouble':
      return { type: 'USE_CARDS' };
    case 'cards':
      return { type: 'CARDS', chosen: view.asked.map((concept) => ({ concept, text: `card ${concept}` })) };
    case 'confirm':
      return { type: 'YES' };
    case 'ask':
    case 'listen':
      return { type: 'USE_CARDS' };
    case 'think':
    case 'ended':
      return null;
    default:
      return { type: 'GO_ON' };
  }
};

/** Goes on by touch alone until the visit has ended. */
export const endsByTouch = async (v: VisitHarness): Promise<void> => {
  const seen: string[] = [];
  for (let i = 0; i < 150 && v.view.screen !== 'ended'; i++) {
    seen.push(v.view.screen);
    const touch = nextTouch(v.view);
    if (touch !== null) v.actor.send(touch);
    await v.world.pass(500, 500);
  }
  expect(v.view.screen, `stuck after ${seen.slice(-10).join(' > ')}`).toBe('ended');
};
