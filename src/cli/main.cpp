#include <unistd.h>

#include <csignal>
#include <exception>
#include <new>
#include <string_view>

#include <CLI/CLI.hpp>

#include "cli/verbs.hpp"
#include "compose/kept_memory.hpp"

namespace {

using namespace oddgrist::cli;

extern "C" void end_quietly(int) { ::_exit(interrupted); }

bool wants_json(int argc, char** argv) {
  for (int i = 1; i < argc; ++i) {
    if (std::string_view(argv[i]) == "--json") return true;
  }
  return false;
}

int run(int argc, char** argv) {
  int exit_code = internal_fault;
  CLI::App app("oddgrist makes a sound beer of what you were given: a brief in, a recipe and a run sheet out.",
               "oddgrist");
  app.require_subcommand(1);
  app.set_version_flag("--version", "oddgrist 0.1.0");
  add_compose(app, exit_code);
  add_serve(app, exit_code);
  add_devices(app, exit_code);
  add_sheet(app, exit_code);
  add_mash(app, exit_code);
  add_doubt(app, exit_code);
  add_ferment(app, exit_code);
  add_watch(app, exit_code);
  add_gas(app, exit_code);
  add_carbonate(app, exit_code);
  add_packet(app, exit_code);
  add_water(app, exit_code);
  add_larder(app, exit_code);
  add_convert(app, exit_code);
  add_trial(app, exit_code);
  add_round(app, exit_code);
  add_gyle(app, exit_code);
  add_kit(app, exit_code);
  add_store(app, exit_code);
  add_example(app, "oddgrist compose examples/saltmarsh-round.toml");
  try {
    app.parse(argc, argv);
    return exit_code;
  } catch (const CLI::Success& asked_for_help) {
    return app.exit(asked_for_help);
  } catch (const CLI::ParseError& error) {
    return fail_usage(wants_json(argc, argv), error.what(), "See oddgrist --help, or --help after the verb");
  }
}

}  // namespace

int main(int argc, char** argv) {
  std::signal(SIGINT, end_quietly);
  // A file that may not grow any more is then an error of the write, told like a full disk, and not the end of the program.
  std::signal(SIGXFSZ, SIG_IGN);
  oddgrist::compose::keep_freed_memory();
  try {
    return run(argc, argv);
  } catch (const std::bad_alloc&) {
    complain("oddgrist: out of memory");
  } catch (const std::exception& error) {
    complain(std::string("oddgrist: a fault of the program, not of your file: ") + error.what());
  } catch (...) {
    complain("oddgrist: a fault of the program, not of your file");
  }
  return internal_fault;
}
