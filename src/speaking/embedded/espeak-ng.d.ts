// The package brings no types; these are the parts we use.
declare module '@echogarden/espeak-ng-emscripten' {
  export interface EspeakWorker {
    readonly samplerate: number;
    /** Words a minute, by its own reckoning. */
    rate: number;
    /** 0..100 */
    pitch: number;
    /** 0..100: how far the pitch moves */
    range: number;
    /** 0 on success. */
    set_voice(name: string, language: string, gender: number, age: number, variant: number): number;
    /** Blocks until all is said. Return true to stop. */
    synthesize(text: string, callback: (samples: Int16Array, events: unknown[]) => boolean): void;
  }
  export interface EspeakModule {
    eSpeakNGWorker: new () => EspeakWorker;
  }
  export default function load(options: {
    getPreloadedPackage?: (name: string, size: number) => ArrayBuffer;
    print?: (line: string) => void;
    printErr?: (line: string) => void;
  }): Promise<EspeakModule>;
}
