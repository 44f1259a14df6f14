// @vitest-environment happy-dom
import { describe, expect, it } from 'vitest';
import { View } from '../../../src/state/view.svelte.ts';

describe('the address of what is looked at', () => {
  it('comes back as it was sent: farm, place, field, season, shade, species', () => {
    const sent = new View();
    sent.go('harvest');
    sent.select('west');
    sent.lookAtSeason(2025);
    sent.shadeBy('seed-landed');
    sent.lookAtSpecies('waterhemp');
    const received = new View();
    received.goTo(sent.addressIn('my farm/1'));
    expect([received.farm, received.place, received.field, received.season, received.shade, received.species]).toEqual([
      'my farm/1',
      'harvest',
      'west',
      2025,
      'seed-landed',
      'waterhemp',
    ]);
  });

  it('names the task that has the screen; another place, or leaving it, ends the task', () => {
    const view = new View();
    view.go('infestation');
    view.begin('in-field');
    const received = new View();
    received.goTo(view.addressIn('farm'));
    expect([received.place, received.task]).toEqual(['infestation', 'in-field']);
    received.leaveTask();
    expect(received.addressIn('farm')).toBe('#/farm/infestation');
    view.go('farm');
    expect(view.task).toBeNull();
    received.goTo('#/farm/infestation?task=dance');
    expect(received.task).toBeNull();
  });

  it('begins at the farm where an address is empty, foreign or damaged', () => {
    for (const address of ['', '#', '#/', '#/%E0%A4%A/nowhere?season=soon&shade=pink', '#field/west']) {
      const view = new View();
      view.goTo(address);
      expect([view.place, view.field, view.season, view.shade]).toEqual(['farm', null, null, null]);
    }
  });
});
