import type { ModuleFile } from './schema';

/** What is left of a module where only some of it is asked again. */
export interface Narrowing {
  points: readonly { concept: string }[];
  /** Points that the hands show. */
  showMe: readonly string[];
}

/** A module with these concepts only, and the steps that hold them; all of it without a narrowing. Unknown ids add nothing. */
export function narrowed(module: ModuleFile, to: Narrowing | undefined): ModuleFile {
  if (!to) return module;
  const asked = to.points.map(({ concept }) => concept);
  return {
    ...module,
    steps: module.steps
      .map((step) => ({ ...step, concepts: step.concepts.filter(({ id }) => asked.includes(id)) }))
      .filter((step) => step.concepts.length > 0),
    showMe: module.showMe.filter((point) => to.showMe.includes(point)),
  };
}
