/** What a test heard itself say: loudness that reached the page's microphone stream. */
export interface Played {
  seconds: number;
  /** Loudest 50 ms, dBFS RMS. -Infinity: silence. */
  peak: number;
  /** How many open microphone streams the sound went to. */
  streams: number;
}

export interface ScriptedMicrophone {
  play(wav: string): Promise<Played>;
  /** Streams that the page holds open. */
  open(): number;
}

declare global {
  interface Window {
    scriptedMicrophone?: ScriptedMicrophone;
  }
}

/**
 * Runs inside the page before any of its scripts, so it may use nothing from outside itself.
 * getUserMedia gives a stream into which a test plays recordings.
 */
export function scriptMicrophone(): void {
  const { mediaDevices } = navigator;
  if (!mediaDevices) return; // about:blank
  let context: AudioContext | undefined;
  let bus: GainNode | undefined;
  let out: MediaStreamAudioDestinationNode | undefined;
  let given: MediaStream[] = [];
  /** Streams that the page holds open. The others are let go: a stopped track tells nobody. */
  const live = () => {
    given = given.filter((stream) => stream.getTracks().some(({ readyState }) => readyState === 'live'));
    return given.length;
  };

  const wire = (): { context: AudioContext; bus: GainNode } => {
    context ??= new AudioContext({ sampleRate: 48000 });
    bus ??= new GainNode(context);
    return { context, bus };
  };

  mediaDevices.getUserMedia = async (constraints) => {
    if (constraints?.video) throw new DOMException('Only the microphone is scripted.', 'NotFoundError');
    const { context, bus } = wire();
    await context.resume();
    live();
    if (!out) {
      out = new MediaStreamAudioDestinationNode(context, { channelCount: 1 });
      bus.connect(out);
    }
    // A copy a call: a page that stops its track must not end the next one. A node a call would stay for good.
    const stream = out.stream.clone();
    given.push(stream);
    return stream;
  };

  // The browser it is scripted in may have none of its own.
  mediaDevices.enumerateDevices = async () => [
    { deviceId: '', groupId: '', kind: 'audioinput', label: '', toJSON: () => ({}) },
  ];

  window.scriptedMicrophone = {
    open: live,
    async play(wav) {
      const { context, bus } = wire();
      await context.resume();
      const bytes = Uint8Array.from(atob(wav), (char) => char.charCodeAt(0));
      const buffer = await context.decodeAudioData(bytes.buffer);
      const source = new AudioBufferSourceNode(context, { buffer });
      const meter = new AnalyserNode(context, { fftSize: 2048 });
      const block = new Float32Array(2048);
      let peak = 0;
      let streams = 0;
      const measure = setInterval(() => {
        meter.getFloatTimeDomainData(block);
        const power = block.reduce((sum, sample) => sum + sample * sample, 0) / block.length;
        peak = Math.max(peak, Math.sqrt(power));
        streams = Math.max(streams, live());
      }, 20);
      source.connect(bus);
      bus.connect(meter);
      const ended = new Promise((done) => source.addEventListener('ended', done, { once: true }));
      source.start();
      await ended;
      clearInterval(measure);
      bus.disconnect(meter);
      return { seconds: buffer.duration, peak: 20 * Math.log10(peak), streams };
    },
  };
}
