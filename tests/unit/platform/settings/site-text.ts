/** A small site that is right in every way: tests change one thing in it. */
export const siteText = `site:
  name: Small works
  zone: CET
  ambientPressureHpa: 1000
  ambientPressureOrigin: measured
lateness: 5 s
lines:
  - { id: one, name: Line one }
stages: [Moulding]
sources:
  - { id: GW-PR, topic: "small/GW-PR/#" }
stations:
  - { id: PR-01, kind: press, line: one, source: GW-PR }
stationKinds:
  press:
    stage: Moulding
    runWord: shot
    series:
      pressure: { quantity: steam-pressure, reference: gauge, unit: bar, every: 1 s, everyInRun: 50 ms }
      step: { kind: event, quantity: step, unit: "1" }
    segmenter:
      by: state-signal
      role: step
      states: { 1: fill, 5: autoclave, 6: vent }
      opensAt: 1
      closesAt: 0
      timeout: 5 min
    characteristics:
      - feature: mold.plateau
        name: plateau
        quantity: steam-pressure
        reference: gauge
        digits: 3
        every: 6 min
        main: true
        specification: { lower: 0.82, upper: 0.98, unit: bar, origin: control plan }
        signals:
          - { rule: beyond-limit, side: below, label: look, doFirst: Sensor right?, says: too low }
`;
