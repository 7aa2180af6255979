import { effect } from '@preact/signals-core';
import { LitElement, type PropertyValues, type ReactiveController, type ReactiveControllerHost } from 'lit';

/** A Lit element that renders again when a signal it read while rendering changes; nothing is to be declared. */
export abstract class SignalElement extends LitElement {
  private forget: (() => void) | undefined;

  override connectedCallback(): void {
    super.connectedCallback();
    // What changed while the element was away was not watched.
    if (this.hasUpdated) this.requestUpdate();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.forget?.();
    this.forget = undefined;
  }

  protected override update(changed: PropertyValues): void {
    this.forget?.();
    let rendering = true;
    this.forget = effect(() => {
      if (rendering) {
        rendering = false;
        super.update(changed);
      } else {
        this.requestUpdate();
      }
    });
  }
}

/**
 * Runs `react` once the host has rendered and again whenever a signal it read changes; ends with the host.
 * For what is not a template: canvases, the page's title, a scroll position.
 */
export class EffectController implements ReactiveController {
  private stop: (() => void) | undefined;
  private away = true;

  constructor(
    host: ReactiveControllerHost,
    private readonly react: () => void,
  ) {
    host.addController(this);
  }

  hostUpdated(): void {
    if (!this.away) return;
    this.away = false;
    this.stop = effect(this.react);
  }

  hostConnected(): void {
    this.away = true;
  }

  hostDisconnected(): void {
    this.stop?.();
    this.stop = undefined;
    this.away = true;
  }
}
