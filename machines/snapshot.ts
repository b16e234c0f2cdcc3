import type { AnyActorRef } from 'xstate';

/** What a parent keeps of the machine inside it, for the view alone. */
export interface SnapshotOf {
  value: unknown;
  // biome-ignore lint/suspicious/noExplicitAny: each depth has its own context; view.ts knows which.
  context: any;
}

/** The sentences of a `say` that has ended stay shown, and none of them sounds. */
export const silenced = (inner: SnapshotOf | null): SnapshotOf | null =>
  inner && { ...inner, context: { ...inner.context, index: -1, leading: -1 } };

/** The machine inside, if one runs. (`sendTo` by name fails without one, when a button means nothing just now.) */
export const innerOf = (self: AnyActorRef): AnyActorRef | null => {
  const inner: AnyActorRef | undefined = self.getSnapshot().children?.inner;
  return inner?.getSnapshot().status === 'active' ? inner : null;
};
