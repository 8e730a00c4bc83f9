#!/bin/bash
# Runs inside a network, mount and process namespace of its own: loopback only, a message bus and a DNS-SD daemon of its
# own (the reference printer wants one even when told not to register), then the reference printer on port 631, then the
# command given. Everything ends with it.
set -u
folder=$1
shift
ip link set lo up
mkdir -p "$folder/spool" /run/avahi-daemon
mount -t tmpfs tmpfs /run/avahi-daemon

cat > "$folder/bus.conf" <<END
<!DOCTYPE busconfig PUBLIC "-//freedesktop//DTD D-BUS Bus Configuration 1.0//EN" "http://www.freedesktop.org/standards/dbus/1.0/busconfig.dtd">
<busconfig>
  <type>system</type>
  <listen>unix:path=$folder/bus</listen>
  <auth>EXTERNAL</auth>
  <policy context="default">
    <allow send_destination="*" eavesdrop="true"/>
    <allow eavesdrop="true"/>
    <allow own="*"/>
    <allow user="*"/>
  </policy>
</busconfig>
END
export DBUS_SYSTEM_BUS_ADDRESS="unix:path=$folder/bus"
dbus-daemon --config-file="$folder/bus.conf" --nofork --nopidfile > "$folder/log" 2>&1 &
for _ in $(seq 100); do [ -S "$folder/bus" ] && break; sleep 0.1; done

printf '[server]\nallow-interfaces=lo\nuse-ipv6=no\n' > "$folder/avahi.conf"
avahi-daemon -f "$folder/avahi.conf" --no-drop-root --no-chroot --no-rlimits --no-proc-title >> "$folder/log" 2>&1 &
for _ in $(seq 100); do avahi-daemon --check 2> /dev/null && break; sleep 0.1; done

# A job's name is the state that it puts the printer into.
cat > "$folder/print" <<'END'
#!/bin/sh
# What was last printed, for whoever wants to compare.
cp "$1" "${0%print}kept"
case "$IPP_JOB_NAME" in
  jam) echo "STATE: +media-jam-error,cover-open" >&2 ;;
  supplies) echo "ATTR: marker-levels=3,-2 marker-names=black,waste marker-types=toner,waste-toner" >&2 ;;
esac
END
chmod +x "$folder/print"
for _ in 1 2 3; do
  ippeveprinter -r off -n localhost -p 631 -d "$folder/spool" -c "$folder/print" -f "${FORMATS:-text/plain}" "front desk" >> "$folder/log" 2>&1 &
  for _ in $(seq 30); do
    (exec 3<> /dev/tcp/127.0.0.1/631) 2> /dev/null && break 2
    sleep 0.1
  done
done
"$@" || cat "$folder/log" >&2
