import { msg } from '@lit/localize';
import processorUrl from '../../../worklets/strokes-processor.ts?worker&url';
import { STROKES_PROCESSOR, type StrokeReport } from '../../../worklets/strokes-messages.js';
import type { Seconds } from '../../music/units.js';

/** The microphone could not be used; the message says why and what to do. */
export class MicrophoneProblem extends Error {
  override readonly name = 'MicrophoneProblem';
}

/**
 * Asks for the microphone and tells of each stroke when, on the context's clock, it sounded at the microphone. Returns the
 * function that lets it go.
 */
export async function listenForStrokes(context: AudioContext, heard: (at: Seconds) => void): Promise<() => void> {
  const stream = await ask();
  const [track] = stream.getAudioTracks();
  const letGo = (): void => stream.getTracks().forEach((each) => each.stop());
  try {
    await context.audioWorklet.addModule(processorUrl);
    const source = context.createMediaStreamSource(stream);
    const node = new AudioWorkletNode(context, STROKES_PROCESSOR, { numberOfInputs: 1, outputChannelCount: [1] });
    // Seconds from the string to the context, where the browser says.
    const { latency = 0 } = (track?.getSettings() ?? {}) as { readonly latency?: number };
    node.port.onmessage = ({ data }: MessageEvent<StrokeReport>) => heard(data.at - latency);
    // It gives silence; unconnected it might not be run.
    source.connect(node).connect(context.destination);
    return () => {
      node.port.onmessage = null;
      node.port.postMessage('end');
      source.disconnect();
      node.disconnect();
      letGo();
    };
  } catch (error) {
    letGo();
    throw error;
  }
}

async function ask(): Promise<MediaStream> {
  if (!navigator.mediaDevices?.getUserMedia)
    throw new MicrophoneProblem(msg('This browser gives no microphone here. Tap along instead.'));
  try {
    // What cleans up speech takes attacks away.
    return await navigator.mediaDevices.getUserMedia({
      audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 },
    });
  } catch (error) {
    const name = error instanceof Error ? error.name : '';
    if (name === 'NotFoundError')
      throw new MicrophoneProblem(msg('No microphone was found. Plug one in, or tap along.'));
    throw new MicrophoneProblem(
      msg('The microphone was not allowed. Allow it for this page in the browser, or tap along.'),
    );
  }
}
