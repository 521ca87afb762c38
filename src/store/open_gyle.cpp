#include "store/open_gyle.hpp"

#include "files/brief_file.hpp"

namespace oddgrist::store {

Result<OpenGyle> open_gyle(const Store& store, const std::string& id) {
  auto entries = store.gyle(id);
  if (!entries) return entries.problems();
  OpenGyle opened;
  opened.entries = std::move(entries.value());
  const auto held = gyle::holding(opened.entries, nullptr);
  const gyle::Started* started = gyle::started_of(held);
  if (started == nullptr) {
    files::Problem problem;
    problem.place.file = store.path();
    problem.field = "gyle/" + id;
    problem.what = "the log does not begin with a recipe";
    problem.remedy = "Start another gyle";
    return problem;
  }
  auto brief = files::read_brief_text(started->brief_text, id + ", its brief");
  if (!brief) return brief.problems();
  opened.brief = std::move(brief.value());
  opened.state = gyle::state_of(opened.brief, opened.entries);
  return opened;
}

}  // namespace oddgrist::store
