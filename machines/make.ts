import { askMachine } from './ask';
import { kioskMachine } from './kiosk';
import { sayMachine } from './say';
import type { Earcon, Services } from './services';
import { stepMachine } from './step';
import { turnMachine } from './turn';
import { visitMachine } from './visit';

/** The machines with the real services, or the fakes of a test, in place. */
export const makeMachines = (services: Services) => {
  const { speak, listen, interpret, judge, judgeCards, answerQuestion, record } = services;
  const playEarcon = ({ context }: { context: { volume: number } }, { name }: { name: Earcon }) =>
    services.playEarcon(name, context.volume);
  const say = sayMachine.provide({ actors: { speak } });
  const turn = turnMachine.provide({ actors: { say, listen, interpret }, actions: { playEarcon } });
  const ask = askMachine.provide({ actors: { turn, say } });
  const step = stepMachine.provide({ actors: { say, ask, judge, judgeCards }, actions: { playEarcon } });
  const visit = visitMachine.provide({
    actors: { say, turn, ask, step, answerQuestion, record },
    actions: { playEarcon, callStaff: (_, call) => services.callStaff(call) },
  });
  const kiosk = kioskMachine.provide({ actors: { visit, say, turn } });
  return { say, turn, ask, step, visit, kiosk };
};

export const makeVisit = (services: Services) => makeMachines(services).visit;

export const makeKiosk = (services: Services) => makeMachines(services).kiosk;
