package mapping

// Reference is how the section `midi` is written.
const Reference = `  midi:
    keys:                      # keyboards: notes under their own numbers
      great: channel 1
      pedal: {channel: 3, lowest: 24}        # the lowest key has number 24
      choir: {channel: 2, second: 4}         # second contacts are on channel 4
    lines:                     # divisions, after the couplers
      great: channel 5
    valves:                    # ranks: valve 1 is number 0, 129 is 0 of the next channel
      bourdon: channel 6       # or {channel: 6, first: 61}, behind another rank of that channel
      flute: nrpns from 0 on channel 7       # how a relay reports them; 16384 a channel
    shoes:
      swell: controller 11 on channel 1
      choir: {message: controller 4 on channel 2, fine: true, hysteresis: 32, every: 20ms}
    crescendo: controller 16 on channel 16   # the number of its stage
    controls:                  # by id, by run (a..b), or by group: all, stops, couplers, unison offs,
      stops of great: notes from 36 on channel 10       # ventils, tremulants, ... ; of DIVISION
      great-principal-8: {on: program 1 on channel 9, off: program 2 on channel 9}
      choir-octave: {press: note 5 on channel 12, lamp: note 6 on channel 12}
    buttons:                   # by id, run or group: all, generals, divisionals of great, toe studs, ...
      generals: programs from 0 on channel 16
    baud: 31250                # of the link; none where nothing is known of it
    slow: 20ms                 # or {chord: 20ms, general: 100ms, sweep: never}

A message is note, controller, nrpn or program with ` + "`on channel`" + `, or bytes in hex:
F0 7D 01 .. F7, where .. is 7F for on, 00 for off, or a position. For several
things it begins at a number, ` + "`notes from 36`" + `, or ` + "`notes from 36/2`" + ` to count by two;
in bytes nn is that number: bytes F0 7D nn .. F7 from 0.

One message serves both ways: to the organ it is the contact of a control, to
the console its knob or lamp. ` + "`lamp`" + `, or ` + "`lamp-on` and `lamp-off`" + `, sets another for
the console. ` + "`press`" + ` turns a control over. ` + "`way`" + ` is to-organ, to-console or both;
keys, lines and valves go to the organ, all else goes both ways. Valves as nrpns go
to the console: notes alone open one, since they are let go of however a program ends.
` + "`all: nrpns from 0 on channel 16`" + ` is for the valves of all ranks, one rank behind the
other. A file without the section has a default map: trundle learn INSTRUMENT --table
shows it, and --default writes it. A section takes the place of all of it: what it
does not name has no message.
`
