// Runs on the audio thread: gathers 128-sample blocks into chunks of about 50 ms and posts them.
// Plain JavaScript and a file of its own, because it is loaded as it is, from our own address.
class Capture extends AudioWorkletProcessor {
  constructor() {
    super();
    this.chunk = new Float32Array(128 * Math.max(1, Math.round((sampleRate * 0.05) / 128)));
    this.filled = 0;
    this.stopped = false;
    this.port.onmessage = () => {
      this.stopped = true;
    };
  }

  process(inputs) {
    const channels = inputs[0];
    if (channels && channels.length > 0) {
      const frames = channels[0].length;
      for (let i = 0; i < frames; i++) {
        let sum = 0;
        for (const channel of channels) sum += channel[i];
        this.chunk[this.filled++] = sum / channels.length;
        if (this.filled === this.chunk.length) {
          const full = this.chunk;
          this.chunk = new Float32Array(full.length);
          this.filled = 0;
          this.port.postMessage(full, [full.buffer]);
        }
      }
    }
    return !this.stopped;
  }
}

registerProcessor('capture', Capture);
