#!/usr/bin/env node
// Started by playwright-core in Firefox's place, with Firefox's arguments: starts $FIREFOX and stands between the two,
// because Firefox 153 and playwright-core 1.65 do not speak the same version of WebDriver BiDi.
import { spawn } from 'node:child_process';
import { WebSocket, WebSocketServer } from 'ws';

/** Commands that Firefox does not know and that ask for what it does anyway; others it refuses by itself. */
const NEEDLESS = {
  // A fresh Firefox prefers light.
  'emulation.setMediaFeaturesOverride': ({ features }) =>
    Object.values(features ?? {}).every((value) => value === null || value === 'light'),
};

/** Events of a download have to name it; Firefox names only those that are navigations. */
const DOWNLOADS = /^browsingContext\.download(WillBegin|End)$/;

const firefox = spawn(process.env.FIREFOX, process.argv.slice(2), { stdio: ['ignore', 'inherit', 'pipe'] });
firefox.on('exit', (code) => process.exit(code ?? 1));
firefox.on('error', (error) => {
  process.stderr.write(`${error.message}\n`);
  process.exit(1);
});
for (const signal of ['SIGTERM', 'SIGINT', 'SIGHUP']) process.on(signal, () => firefox.kill(signal));

let output = '';
firefox.stderr.on('data', (piece) => {
  output += piece;
  const lines = output.split('\n');
  output = lines.pop();
  for (const line of lines) {
    const address = /WebDriver BiDi listening on (ws:\/\/\S+)/.exec(line)?.[1];
    if (address) standBetween(address);
    else process.stderr.write(`${line}\n`);
  }
});

/** Says where it listens itself, in Firefox's words. */
function standBetween(address) {
  const server = new WebSocketServer({ host: '127.0.0.1', port: 0, perMessageDeflate: false, maxPayload: 0 });
  server.on('listening', () =>
    process.stderr.write(`WebDriver BiDi listening on ws://127.0.0.1:${server.address().port}\n`),
  );
  server.on('connection', (client, request) => {
    const browser = new WebSocket(address + request.url, { perMessageDeflate: false, maxPayload: 0 });
    const waiting = [];
    browser.on('open', () => waiting.splice(0).forEach((text) => browser.send(text)));
    browser.on('message', (data) => client.send(named(data.toString())));
    client.on('message', (data) => {
      const text = data.toString();
      const { id, method, params } = JSON.parse(text);
      if (NEEDLESS[method]?.(params)) client.send(JSON.stringify({ type: 'success', id, result: {} }));
      else if (browser.readyState === WebSocket.OPEN) browser.send(text);
      else waiting.push(text);
    });
    client.on('close', () => browser.close());
    browser.on('close', () => client.close());
    browser.on('error', () => client.close());
  });
}

function named(text) {
  const message = JSON.parse(text);
  if (!DOWNLOADS.test(message.method ?? '')) return text;
  const { context, url } = message.params;
  return JSON.stringify({ ...message, params: { download: `${context} ${url}`, ...message.params } });
}
