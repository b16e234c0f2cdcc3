/** One AudioContext for all we play: browsers allow few, and each has to be woken by a press. */
let context: AudioContext | undefined;
/** Made beforehand and not needed yet. */
let resting = false;

export function sound(): AudioContext {
  context ??= new AudioContext();
  if (resting || context.state === 'suspended') context.resume().catch(() => {});
  resting = false;
  return context;
}

/** Makes it while nobody waits: the first one holds a page for a moment. It rests until it is needed. */
export function prepareSound(): void {
  if (context) return;
  context = new AudioContext();
  resting = true;
  context.suspend().catch(() => {});
}

/** Call from a press or a key: browsers keep a page silent until then. */
export function wakeSound(): void {
  sound();
}
