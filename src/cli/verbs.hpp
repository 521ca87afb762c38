// One function a verb: adds the subcommand with its options and help, and sets `exit_code` when it is run.
#pragma once

#include <string>

#include <CLI/CLI.hpp>

#include "cli/output.hpp"

namespace oddgrist::cli {

void add_compose(CLI::App& app, int& exit_code);
void add_serve(CLI::App& app, int& exit_code);
void add_devices(CLI::App& app, int& exit_code);
void add_sheet(CLI::App& app, int& exit_code);
void add_mash(CLI::App& app, int& exit_code);
void add_doubt(CLI::App& app, int& exit_code);
void add_ferment(CLI::App& app, int& exit_code);
void add_watch(CLI::App& app, int& exit_code);
void add_gas(CLI::App& app, int& exit_code);
void add_carbonate(CLI::App& app, int& exit_code);
void add_packet(CLI::App& app, int& exit_code);
void add_water(CLI::App& app, int& exit_code);
void add_larder(CLI::App& app, int& exit_code);
void add_convert(CLI::App& app, int& exit_code);
void add_trial(CLI::App& app, int& exit_code);
void add_round(CLI::App& app, int& exit_code);
void add_gyle(CLI::App& app, int& exit_code);
void add_kit(CLI::App& app, int& exit_code);
void add_store(CLI::App& app, int& exit_code);

// --json and --output, alike for every verb.
void add_output_options(CLI::App& verb, OutputOptions& options);
// --units si|us; empty: as the brief says.
void add_units_option(CLI::App& verb, std::string& units);
// For options that take a number without sign: digits only, and no more than 64 bits hold.
CLI::Validator whole_number();
// What stands under the options in --help: an example and the exit codes.
void add_example(CLI::App& verb, const std::string& example);

}  // namespace oddgrist::cli
