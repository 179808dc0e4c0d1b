// peer.js PACKAGE PORT [PEER-PORT] is one end of a session on the loopback, by
// the npm package rtpmidi: it invites where a peer's port is given. It prints
// "synchronised" once it can send and each message that it hears in
// hexadecimal, and sends those that it reads, line by line. Its lines begin with
// "> ", because the package prints its log to the same place.
const say = (...words) => console.log('>', ...words);
const [, , path, port, peer] = process.argv;
const session = require(path).manager.createSession(
  { localName: 'other', bonjourName: 'other', port: +port, ssrc: 0x2222, published: false, activated: false }, true);

session.on('message', (_, message) => say(Buffer.from(message).toString('hex')));
session.on('streamRemoved', () => say('left'));
session.on('error', (error) => say('error', error.message));
session.on('ready', () => {
  say('ready');
  if (peer) session.connect({ address: '127.0.0.1', port: +peer });
});
session.start();

const synchronised = setInterval(() => {
  const [stream] = session.getStreams();
  if (stream && stream.latency !== null && stream.timeDifference !== null) {
    clearInterval(synchronised);
    say('synchronised');
  }
}, 10);

// The package's own sendMessage throws or queues a time that is no number; and
// what it writes for a delta time of more than 126 ticks is not one.
require('readline').createInterface({ input: process.stdin })
  .on('line', (line) => {
    session.queue.push({ comexTime: 0, data: Buffer.from(line, 'hex') });
    session.queueFlush();
  })
  .on('close', () => session.end(() => process.exit(0)));
