package alsa

import (
	"math/bits"
	"testing"
	"unsafe"

	"github.com/stretchr/testify/require"
)

// The numbers are those that a C compiler makes of the kernel's headers
// sound/asound.h and sound/asequencer.h (Linux 6.1, 64 bits); each holds the
// size of what is asked with.
func TestRequestsAreThoseOfTheKernelsHeaders(t *testing.T) {
	if bits.UintSize != 64 {
		t.Skip("the sizes of the others are those of 64 bits")
	}
	for name, c := range map[string]struct {
		request, size, want uintptr
	}{
		"SNDRV_SEQ_IOCTL_CLIENT_ID":                {clientID, 4, 0x80045301},
		"SNDRV_SEQ_IOCTL_GET_CLIENT_INFO":          {getClient, unsafe.Sizeof(clientInfo{}), 0xC0BC5310},
		"SNDRV_SEQ_IOCTL_SET_CLIENT_INFO":          {setClient, unsafe.Sizeof(clientInfo{}), 0x40BC5311},
		"SNDRV_SEQ_IOCTL_CREATE_PORT":              {createPort, unsafe.Sizeof(portInfo{}), 0xC0A85320},
		"SNDRV_SEQ_IOCTL_SUBSCRIBE_PORT":           {subscribePort, unsafe.Sizeof(connection{}), 0x40505330},
		"SNDRV_SEQ_IOCTL_GET_CLIENT_POOL":          {getPool, unsafe.Sizeof(pool{}), 0xC058534B},
		"SNDRV_SEQ_IOCTL_SET_CLIENT_POOL":          {setPool, unsafe.Sizeof(pool{}), 0x4058534C},
		"SNDRV_SEQ_IOCTL_QUERY_NEXT_CLIENT":        {nextClient, unsafe.Sizeof(clientInfo{}), 0xC0BC5351},
		"SNDRV_SEQ_IOCTL_QUERY_NEXT_PORT":          {nextPort, unsafe.Sizeof(portInfo{}), 0xC0A85352},
		"SNDRV_RAWMIDI_IOCTL_PARAMS":               {rawParams, unsafe.Sizeof(params{}), 0xC0305710},
		"SNDRV_RAWMIDI_IOCTL_STATUS":               {rawStatus, unsafe.Sizeof(status{}), 0xC0385720},
		"SNDRV_CTL_IOCTL_RAWMIDI_NEXT_DEVICE":      {nextRaw, 4, 0xC0045540},
		"SNDRV_CTL_IOCTL_RAWMIDI_INFO":             {rawOfCard, unsafe.Sizeof(info{}), 0xC10C5541},
		"SNDRV_CTL_IOCTL_RAWMIDI_PREFER_SUBDEVICE": {preferRawSub, 4, 0x40045542},
	} {
		require.Equal(t, c.want, c.request|c.size<<16, name)
	}
}

func TestFieldsStandWhereTheKernelsHeadersHaveThem(t *testing.T) {
	require.Equal(t, []uintptr{4, 8}, []uintptr{unsafe.Offsetof(clientInfo{}.kind), unsafe.Offsetof(clientInfo{}.name)})
	require.Equal(t, []uintptr{2, 68, 72, 76}, []uintptr{unsafe.Offsetof(portInfo{}.name), unsafe.Offsetof(portInfo{}.abilities), unsafe.Offsetof(portInfo{}.kind), unsafe.Offsetof(portInfo{}.channels)})
	require.Equal(t, []uintptr{84, 164, 196}, []uintptr{unsafe.Offsetof(info{}.name), unsafe.Offsetof(info{}.subname), unsafe.Offsetof(info{}.count)})
	require.Equal(t, []uintptr{8, 20}, []uintptr{unsafe.Offsetof(pool{}.in), unsafe.Offsetof(pool{}.inFree)})
	require.Equal(t, []uintptr{8, 16}, []uintptr{unsafe.Offsetof(params{}.buffer), unsafe.Offsetof(params{}.wake)})
	require.Equal(t, []uintptr{24, 32}, []uintptr{unsafe.Offsetof(status{}.avail), unsafe.Offsetof(status{}.lost)})
}

// The text is that of Linux 6.1 for a device of two subdevices.
func TestTheOwnerOfABusyDeviceIsFound(t *testing.T) {
	const proc = "Virtual Raw MIDI\n\nOutput 0\n  Tx bytes     : 17\nOutput 1\n  Tx bytes     : 0\n  Owner PID    : 77\n  Mode         : native\nInput 0\n  Rx bytes     : 5\n  Owner PID    : 123\n  Overruns     : 0\nInput 1\n  Rx bytes     : 0\n"
	for name, c := range map[string]struct {
		subdevice int
		write     bool
		want      string
	}{
		"the input that is meant":           {0, false, "123"},
		"an input that is free":             {1, false, ""},
		"any input":                         {-1, false, "123"},
		"an output that is free":            {0, true, ""},
		"the output that is meant":          {1, true, "77"},
		"any output":                        {-1, true, "77"},
		"a subdevice that there is none of": {2, true, ""},
	} {
		t.Run(name, func(t *testing.T) { require.Equal(t, c.want, ownerIn(proc, c.subdevice, c.write)) })
	}
}
