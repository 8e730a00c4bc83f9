#Requires -Version 5.1
<#
.SYNOPSIS
Writes down the state of this Windows print host as one JSON document (outfeed.print-host/1), for
"outfeed queue --queue-report FILE" and "outfeed why TARGET --queue-report FILE".

.DESCRIPTION
Reads only. Nothing is started, stopped, paused, resumed, deleted or changed, and no page is printed.
What can't be read, for want of a right or because the host has no such thing, is written as
{ "denied": "why" } in the place of the value, never as an empty list.
An ordinary user gets most of it; permissions of queues, other people's jobs and some events want an administrator.

.PARAMETER Out
File to write. Without it the document goes to the output.

.PARAMETER Days
How many days of events are read.

.PARAMETER MostEvents
Events at most, the newest first.

.EXAMPLE
powershell -ExecutionPolicy Bypass -File print-host-report.ps1 -Out report.json
#>
[CmdletBinding()]
param(
    [string] $Out,
    [ValidateRange(1, 90)] [int] $Days = 7,
    [ValidateRange(1, 100000)] [int] $MostEvents = 20000
)

Set-StrictMode -Version 2.0
$ErrorActionPreference = 'Stop'
$culture = [System.Globalization.CultureInfo]::InvariantCulture

# Runs a reading; what it throws becomes the word why there is none.
function Read-OrDenied {
    param([scriptblock] $Reading)
    try {
        return , (& $Reading)
    } catch {
        return @{ denied = [string] $_.Exception.Message }
    }
}

# A list stays a list in JSON, with one element and with none.
function Read-ListOrDenied {
    param([scriptblock] $Reading)
    try {
        $items = @(& $Reading)
        return , $items
    } catch {
        return @{ denied = [string] $_.Exception.Message }
    }
}

function Get-TimeText {
    param($Time)
    if ($null -eq $Time) { return $null }
    return ([datetime] $Time).ToUniversalTime().ToString('yyyy-MM-ddTHH:mm:ss.fffZ', $culture)
}

function Get-Text {
    param($Value)
    if ($null -eq $Value -or [string] $Value -eq '') { return $null }
    return [string] $Value
}

# A property that some versions of a cmdlet lack.
function Get-Part {
    param($Object, [string] $Name)
    if ($null -eq $Object) { return $null }
    $property = $Object.PSObject.Properties[$Name]
    if ($null -eq $property) { return $null }
    return $property.Value
}

# The number behind a status that the cmdlet shows as words, which differ from language to language.
function Get-RawNumber {
    param($Object, [string] $Name)
    $raw = $Object.CimInstanceProperties[$Name]
    if ($null -eq $raw -or $null -eq $raw.Value) { throw "no $Name is shown" }
    return [int64] $raw.Value
}

function Read-System {
    $system = Get-CimInstance -ClassName Win32_OperatingSystem
    $os = $env:PROCESSOR_ARCHITECTURE
    if ($env:PROCESSOR_ARCHITEW6432) { $os = $env:PROCESSOR_ARCHITEW6432 }
    return @{
        name = [string] $system.Caption
        version = [string] $system.Version
        osArchitecture = [string] $os
        processArchitecture = [string] $env:PROCESSOR_ARCHITECTURE
    }
}

# Failure actions as the service keeps them: seconds until the count is reset, then pairs of action and delay
# (SERVICE_FAILURE_ACTIONS, MS-SCMR 2.2.40; layout of the registry value from memory). "sc.exe qfailure" shows the same
# to a person, in the language of the system.
function Read-Recovery {
    $names = @('none', 'restart', 'reboot', 'run')
    $key = 'HKLM:\SYSTEM\CurrentControlSet\Services\Spooler'
    $raw = (Get-ItemProperty -Path $key -Name FailureActions).FailureActions
    $reset = [System.BitConverter]::ToUInt32($raw, 0)
    $count = [System.BitConverter]::ToInt32($raw, 12)
    $actions = @()
    for ($i = 0; $i -lt $count; $i++) {
        $at = 20 + 8 * $i
        $actions += @{
            action = $names[[System.BitConverter]::ToInt32($raw, $at)]
            delayMs = [System.BitConverter]::ToUInt32($raw, $at + 4)
        }
    }
    $seconds = $null
    if ($reset -ne [uint32]::MaxValue) { $seconds = $reset }
    return @{ resetSeconds = $seconds; actions = $actions }
}

function Read-Spooler {
    $service = Get-CimInstance -ClassName Win32_Service -Filter "Name='Spooler'"
    if ($null -eq $service) { throw 'this host has no print service' }
    $started = $null
    if ($service.ProcessId -gt 0) {
        $process = Get-CimInstance -ClassName Win32_Process -Filter "ProcessId=$($service.ProcessId)"
        $started = Get-TimeText (Get-Part $process 'CreationDate')
    }
    return @{
        state = [string] $service.State
        startMode = Get-Text $service.StartMode
        startedAt = $started
        recovery = Read-OrDenied { Read-Recovery }
    }
}

# Whether only administrators may install printer drivers; null where the policy is not set.
function Read-Policies {
    $key = 'HKLM:\Software\Policies\Microsoft\Windows NT\Printers\PointAndPrint'
    $value = $null
    if (Test-Path -Path $key) {
        $value = Get-Part (Get-ItemProperty -Path $key) 'RestrictDriverInstallationToAdministrators'
    }
    $only = $null
    if ($null -ne $value) { $only = ($value -ne 0) }
    return @{ driversOnlyByAdministrators = $only }
}

# Account names of the SIDs in a descriptor; a SID that has no name any more is left out.
function Get-AccountNames {
    param([string] $Sddl)
    $names = @{}
    $descriptor = New-Object System.Security.AccessControl.CommonSecurityDescriptor($false, $false, $Sddl)
    foreach ($entry in $descriptor.DiscretionaryAcl) {
        $sid = $entry.SecurityIdentifier
        try {
            $names[$sid.Value] = $sid.Translate([System.Security.Principal.NTAccount]).Value
        } catch {
            continue
        }
    }
    return $names
}

function Read-Permissions {
    param([string] $Name)
    $sddl = (Get-Printer -Name $Name -Full).PermissionSDDL
    if (-not $sddl) { throw 'the permissions of this queue are not shown to this account' }
    return @{ sddl = [string] $sddl; names = Get-AccountNames $sddl }
}

function Read-Queues {
    # "Use printer offline" and the like show in one class only.
    $offline = @{}
    foreach ($one in Get-CimInstance -ClassName Win32_Printer) { $offline[$one.Name] = [bool] $one.WorkOffline }
    foreach ($queue in Get-Printer) {
        $name = [string] $queue.Name
        $isOffline = $null
        if ($offline.ContainsKey($name)) { $isOffline = $offline[$name] }
        @{
            name = $name
            shareName = Get-Text $queue.ShareName
            portName = [string] $queue.PortName
            driverName = [string] $queue.DriverName
            status = Get-RawNumber $queue 'PrinterStatus'
            offline = $isOffline
            shared = [bool] $queue.Shared
            datatype = Get-Text (Get-Part $queue 'Datatype')
            printProcessor = Get-Text (Get-Part $queue 'PrintProcessor')
            comment = Get-Text $queue.Comment
            location = Get-Text $queue.Location
            permissions = Read-OrDenied { Read-Permissions $name }
        }
    }
}

function Read-Ports {
    foreach ($port in Get-PrinterPort) {
        $protocol = $null
        switch ([string] (Get-Part $port 'Protocol')) {
            '1' { $protocol = 'raw' }
            'RAW' { $protocol = 'raw' }
            '2' { $protocol = 'lpr' }
            'LPR' { $protocol = 'lpr' }
        }
        $number = Get-Part $port 'PortNumber'
        if ($null -ne $number) { $number = [int] $number }
        @{
            name = [string] $port.Name
            monitor = Get-Text (Get-Part $port 'PortMonitor')
            hostAddress = Get-Text (Get-Part $port 'PrinterHostAddress')
            portNumber = $number
            protocol = $protocol
            lprQueue = Get-Text (Get-Part $port 'LprQueueName')
        }
    }
}

function Get-VersionText {
    param($Number)
    if ($null -eq $Number) { return $null }
    $n = [uint64] $Number
    $parts = 48, 32, 16, 0 | ForEach-Object { ($n -shr $_) -band 0xffff }
    return ($parts -join '.')
}

function Read-Drivers {
    foreach ($driver in Get-PrinterDriver) {
        $named = @('Path', 'DataFile', 'ConfigFile', 'HelpFile') | ForEach-Object { Get-Text (Get-Part $driver $_) }
        $files = @(@($named) + @(Get-Part $driver 'DependentFiles') | Where-Object { $_ } | Select-Object -Unique)
        $major = Get-Part $driver 'MajorVersion'
        if ($null -ne $major) { $major = [int] $major }
        @{
            name = [string] $driver.Name
            environment = [string] $driver.PrinterEnvironment
            majorVersion = $major
            version = Get-VersionText (Get-Part $driver 'DriverVersion')
            files = $files
            missingFiles = Read-ListOrDenied {
                $files | Where-Object { [System.IO.Path]::IsPathRooted($_) -and -not (Test-Path -LiteralPath $_) }
            }
        }
    }
}

function Get-Count {
    param($Value)
    if ($null -eq $Value) { return $null }
    return [int64] $Value
}

function Read-Jobs {
    foreach ($queue in Get-Printer) {
        foreach ($job in Get-PrintJob -PrinterName $queue.Name) {
            @{
                queue = [string] $queue.Name
                id = [int] $job.Id
                document = Get-Text $job.DocumentName
                user = Get-Text $job.UserName
                status = Get-RawNumber $job 'JobStatus'
                bytes = Get-Count (Get-Part $job 'Size')
                pages = Get-Count (Get-Part $job 'TotalPages')
                pagesPrinted = Get-Count (Get-Part $job 'PagesPrinted')
                submittedAt = Get-TimeText (Get-Part $job 'SubmittedTime')
                datatype = Get-Text (Get-Part $job 'Datatype')
            }
        }
    }
}

# Values of an event by name; those without a name as param1, param2 and so on.
function Get-EventValues {
    param($Event)
    $values = @{}
    $tree = ([xml] $Event.ToXml()).Event
    $eventData = Get-Part $tree 'EventData'
    $userData = Get-Part $tree 'UserData'
    if ($null -ne $eventData -and $eventData -isnot [string]) {
        $i = 0
        foreach ($node in $eventData.ChildNodes) {
            if ($node.LocalName -eq 'Binary') {
                $values['Binary'] = $node.InnerText
                continue
            }
            $i++
            $name = $node.GetAttribute('Name')
            if (-not $name) { $name = "param$i" }
            $values[$name] = $node.InnerText
        }
    }
    if ($null -ne $userData -and $userData -isnot [string]) {
        foreach ($node in $userData.FirstChild.ChildNodes) { $values[$node.LocalName] = $node.InnerText }
    }
    return $values
}

function Read-Events {
    $since = (Get-Date).AddDays(-$Days)
    $wanted = @(
        @{ LogName = 'System'; ProviderName = 'Service Control Manager'; Id = 7031, 7034, 7036; StartTime = $since },
        @{ LogName = 'Application'; ProviderName = 'Application Error'; Id = 1000; StartTime = $since },
        @{ LogName = 'Microsoft-Windows-PrintService/Admin'; StartTime = $since },
        @{ LogName = 'Microsoft-Windows-PrintService/Operational'; StartTime = $since }
    )
    $read = 0
    $why = $null
    foreach ($filter in $wanted) {
        try {
            $found = @(Get-WinEvent -FilterHashtable $filter -MaxEvents $MostEvents)
            $read++
        } catch {
            # No event that fits is an answer too.
            if ($_.FullyQualifiedErrorId -like 'NoMatchingEventsFound*') { $read++ } else { $why = $_.Exception.Message }
            continue
        }
        foreach ($one in $found) {
            @{
                provider = [string] $one.ProviderName
                id = [int] $one.Id
                at = Get-TimeText $one.TimeCreated
                data = Get-EventValues $one
            }
        }
    }
    if ($read -eq 0) { throw $why }
}

$identity = [System.Security.Principal.WindowsIdentity]::GetCurrent()
$principal = New-Object System.Security.Principal.WindowsPrincipal($identity)
$groups = @($identity.Groups | ForEach-Object {
        try { $_.Translate([System.Security.Principal.NTAccount]).Value } catch { $_.Value }
    })

$report = [ordered] @{
    schema = 'outfeed.print-host/1'
    madeAt = Get-TimeText (Get-Date)
    host = [string] $env:COMPUTERNAME
    days = $Days
    ranAs = @{
        user = [string] $identity.Name
        groups = $groups
        elevated = $principal.IsInRole([System.Security.Principal.WindowsBuiltInRole]::Administrator)
    }
    system = Read-OrDenied { Read-System }
    spooler = Read-OrDenied { Read-Spooler }
    policies = Read-OrDenied { Read-Policies }
    queues = Read-ListOrDenied { Read-Queues }
    ports = Read-ListOrDenied { Read-Ports }
    drivers = Read-ListOrDenied { Read-Drivers }
    jobs = Read-ListOrDenied { Read-Jobs }
    events = Read-ListOrDenied { Read-Events }
}

$json = ConvertTo-Json -InputObject $report -Depth 8 -Compress
if ($Out) {
    $utf8 = New-Object System.Text.UTF8Encoding($false)
    $path = $ExecutionContext.SessionState.Path.GetUnresolvedProviderPathFromPSPath($Out)
    [System.IO.File]::WriteAllText($path, $json, $utf8)
} else {
    $json
}
