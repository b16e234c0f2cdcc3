/** One AudioContext for all we play: browsers allow few, and each has to be woken by a press. */
let context: AudioContext | undefined;

export function sound(): AudioContext {
  context ??= new AudioContext();
  return context;
}

/** Call from a press or a key: browsers keep a page silent until then. */
export function wakeSound(): void {
  const audio = sound();
  if (audio.state === 'suspended') audio.resume().catch(() => {});
}
