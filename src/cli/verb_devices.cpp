#include <memory>

#include <fmt/format.h>

#include "cli/devices_path.hpp"
#include "cli/verbs.hpp"
#include "files/answer_json.hpp"
#include "server/devices.hpp"

namespace oddgrist::cli {
namespace {

using files::Json;

struct DevicesOptions {
  std::string state, shut_out;
  OutputOptions output;
};

int list(const DevicesOptions& options, server::Devices& devices) {
  Json json = Json::array();
  std::string text;
  for (const server::Device& device : devices.list()) {
    json.push_back(Json{{"id", device.id}, {"name", device.name}, {"paired", device.paired}, {"seen", device.seen}});
    text += fmt::format("{}  {}\n", device.id, device.name);
    if (!device.paired.empty())
      text += fmt::format("              paired {}, last seen {}\n", device.paired, device.seen);
  }
  const int code = text.empty() ? nothing_found : all_well;
  if (text.empty()) text = "No device is paired: oddgrist serve --lan shows how one is.\n";
  return emit(options.output, options.output.json ? files::json_text(Json{{"devices", std::move(json)}}) : text, code);
}

int run_devices(const DevicesOptions& options) {
  server::Devices devices(devices_path(options.state));
  if (const auto problem = devices.load()) return fail(options.output, {*problem});
  if (options.shut_out.empty()) return list(options, devices);
  std::optional<files::Problem> not_kept;
  if (!devices.shut_out(options.shut_out, not_kept)) {
    files::Problem problem;
    problem.field = "--shut-out";
    problem.what = "no device of that id is paired";
    problem.remedy = "oddgrist devices lists them";
    return fail(options.output, {problem});
  }
  if (not_kept) return fail(options.output, {*not_kept});
  return list(options, devices) == cannot_write ? cannot_write : all_well;
}

}  // namespace

void add_devices(CLI::App& app, int& exit_code) {
  auto options = std::make_shared<DevicesOptions>();
  CLI::App* verb = app.add_subcommand("devices", "List the devices that were paired with the page; shut one out");
  verb->add_option("--shut-out", options->shut_out,
                   "Shut the device of this id out, within a second also of a page being served")
      ->type_name("ID");
  verb->add_option("--state", options->state, "Where they are remembered; otherwise ~/.local/state/oddgrist")
      ->type_name("FOLDER");
  add_output_options(*verb, options->output);
  add_example(*verb, "oddgrist devices --shut-out 3f2a91c07b44");
  verb->callback([options, &exit_code] { exit_code = run_devices(*options); });
}

}  // namespace oddgrist::cli
