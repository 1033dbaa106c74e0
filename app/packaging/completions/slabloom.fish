# Print an optspec for argparse to handle cmd's options that are independent of any subcommand.
function __fish_slabloom_global_optspecs
    string join \n h/help V/version
end

function __fish_slabloom_needs_command
    # Figure out if the current invocation already has a command.
    set -l cmd (commandline -opc)
    set -e cmd[1]
    argparse -s (__fish_slabloom_global_optspecs) -- $cmd 2>/dev/null
    or return
    if set -q argv[1]
        # Also print the command, so this can be used to figure out what it is.
        echo $argv[1]
        return 1
    end
    return 0
end

function __fish_slabloom_using_subcommand
    set -l cmd (__fish_slabloom_needs_command)
    test -z "$cmd"
    and return 1
    contains -- $cmd[1] $argv
end

complete -c slabloom -n "__fish_slabloom_needs_command" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_needs_command" -s V -l version -d 'Print version'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "new" -d 'Make a job from typed walls or from an outline file'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "takeoff" -d 'Quantities, prices and findings of a job'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "results" -d 'Everything that follows from a job, as JSON'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "check" -d 'Findings only; the exit code is 1 if one says stop'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "compare" -d 'Quantities and price of two jobs side by side, where they differ'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "sheets" -d 'The sheet set as a PDF file, or one SVG file a sheet'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "picture" -d 'The editor\'s window with a job in it, as a PNG file, without a display'
complete -c slabloom -n "__fish_slabloom_needs_command" -a "help" -d 'Print this message or the help of the given subcommand(s)'
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -l walls -d 'Walls walked round, such as "E 40\' N 28\' W 40\' close"' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -l outline -d 'Outline file: .wkt (one POLYGON), .geojson, or .csv of x,y' -r -F
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -l unit -d 'The unit of numbers without one' -r -f -a "ft\t'Feet'
in\t'Inches'
m\t'Metres'
mm\t'Millimetres'"
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -l title -d 'What the job is called' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -l force -d 'Put the new job in the place of a file that is there'
complete -c slabloom -n "__fish_slabloom_using_subcommand new" -s h -l help -d 'Print help (see more with \'--help\')'
complete -c slabloom -n "__fish_slabloom_using_subcommand takeoff" -l json -d 'As JSON instead of a table'
complete -c slabloom -n "__fish_slabloom_using_subcommand takeoff" -l all -d 'Every quantity with its parts, not only what to order'
complete -c slabloom -n "__fish_slabloom_using_subcommand takeoff" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_using_subcommand results" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_using_subcommand check" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_using_subcommand compare" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -s o -l output -d 'The PDF file to write; with --svg the folder' -r -F
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -l paper -d 'The paper instead of the job\'s own' -r -f -a "letter\t''
legal\t''
tabloid\t''
ansi-c\t''
ansi-d\t''
a4\t''
a3\t''
a2\t''
a1\t''"
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -l scale -d 'The scale of plans instead of the job\'s own: 1/4 (of an inch to the foot) or 1:50' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -l only -d 'Only these sheets, such as joints,tube' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -l svg -d 'One SVG file a sheet, into a folder'
complete -c slabloom -n "__fish_slabloom_using_subcommand sheets" -s h -l help -d 'Print help'
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -s o -l output -d 'The picture file to write' -r -F
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -l size -d 'Width and height of the window' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -l scale -d 'Pixels for each point of the window' -r
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -l stage -d 'The stage of the work that is shown' -r -f -a "forms\t'Outline, edges, thickenings, ground'
foam\t'Boards'
tube\t'Zones, circuits, heat'
heat\t'Floor temperature, sections'
saw\t'Joints'
pour\t'Order and trucks'
bid\t'Quantities and price'"
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -l look -d 'The look' -r -f -a "light\t'Dark ink on paper'
dark\t'Light ink on wet concrete'
contrast\t'White and yellow on black'"
complete -c slabloom -n "__fish_slabloom_using_subcommand picture" -s h -l help -d 'Print help (see more with \'--help\')'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "new" -d 'Make a job from typed walls or from an outline file'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "takeoff" -d 'Quantities, prices and findings of a job'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "results" -d 'Everything that follows from a job, as JSON'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "check" -d 'Findings only; the exit code is 1 if one says stop'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "compare" -d 'Quantities and price of two jobs side by side, where they differ'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "sheets" -d 'The sheet set as a PDF file, or one SVG file a sheet'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "picture" -d 'The editor\'s window with a job in it, as a PNG file, without a display'
complete -c slabloom -n "__fish_slabloom_using_subcommand help; and not __fish_seen_subcommand_from new takeoff results check compare sheets picture help" -f -a "help" -d 'Print this message or the help of the given subcommand(s)'
