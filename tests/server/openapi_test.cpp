// docs/openapi.json and the routes say the same, and real replies fit it, judged by an outside validator (python3-jsonschema).
#include <cstdio>
#include <set>

#include "server/routes.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

std::string upper(std::string text) {
  for (char& c : text) c = static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  return text;
}

TEST(OpenApi, DocumentsEveryRouteAndNoOther) {
  const Json document = Json::parse(source_text("docs/openapi.json"));
  std::set<std::string> documented, served;
  for (const auto& [path, methods] : document["paths"].items()) {
    for (const auto& [method, operation] : methods.items()) documented.insert(upper(method) + ' ' + path);
  }
  for (const server::Route& route : server::routes()) {
    served.insert(std::string(route.method) + ' ' + std::string(route.path));
    const Json& operation = document["paths"][std::string(route.path)];
    const std::string method = route.method == "GET" ? "get" : "post";
    EXPECT_EQ(operation[method].contains("security"), route.access == server::Access::anyone) << route.path;
    EXPECT_EQ(operation[method]["responses"].contains("401"), route.access == server::Access::paired) << route.path;
  }
  EXPECT_EQ(documented, served);
  EXPECT_GE(served.size(), 10);
}

// What was said where, for the validator: one JSON document a line.
class Exchanges {
 public:
  void add(const std::string& method, const std::string& path, const httplib::Result& result) {
    ASSERT_TRUE(result) << path;
    lines_ += Json{{"method", method},
                   {"path", path},
                   {"status", result->status},
                   {"type", result->get_header_value("Content-Type")},
                   {"body", result->body}}
                  .dump() +
              '\n';
    ++count_;
  }
  void expect_fit() const {
    const std::string file =
        (std::filesystem::temp_directory_path() / ("oddgrist-exchanges-" + std::to_string(::getpid()))).string();
    std::ofstream(file) << lines_;
    const std::string command = "python3 -B " ODDGRIST_SOURCE_DIR
                                "/tests/server/validate_exchanges.py " ODDGRIST_SOURCE_DIR "/docs/openapi.json < " +
                                file + " 2>&1";
    FILE* pipe = ::popen(command.c_str(), "r");
    ASSERT_NE(pipe, nullptr);
    std::string said;
    char buffer[4096];
    while (const std::size_t size = std::fread(buffer, 1, sizeof buffer, pipe)) said.append(buffer, size);
    EXPECT_EQ(::pclose(pipe), 0) << said;
    EXPECT_EQ(said, std::to_string(count_) + " fit\n");
    std::filesystem::remove(file);
  }

 private:
  std::string lines_;
  int count_ = 0;
};

// A server that keeps a store and one that keeps none; what they say goes to the validator.
class Said {
 public:
  explicit Said(Exchanges& exchanges) : exchanges_(exchanges) {}
  void get(const std::string& route, const std::string& path) {
    exchanges_.add("get", route, live_.client().Get(path));
  }
  void get_keepless(const std::string& route) { exchanges_.add("get", route, keepless_.client().Get(route)); }
  void post(const std::string& route, const std::string& path, const Json& body) {
    exchanges_.add("post", route, live_.client().Post(path, body.dump(), "application/json"));
  }

 private:
  Exchanges& exchanges_;
  const KeptFolder folder_;
  const LiveServer live_{folder_.settings()}, keepless_;
};

// Gas, bench trial, stock, kits and rounds: an answer and a refusal of each.
void room_exchanges(Exchanges& exchanges, const Json& brief) {
  Said said(exchanges);
  said.post("/api/gas", "/api/gas", Json{{"began", "2026-11-24T18:00"}, {"now", "2026-11-25T12:00"}});
  said.post("/api/gas", "/api/gas", Json{{"high_gauge_bar", 9.0}});
  said.post("/api/gas", "/api/gas", Json{{"high_gauge_bar", 0.1}});
  said.post("/api/gas", "/api/gas", Json{{"by", "magic"}});
  said.post("/api/gas", "/api/gas", Json::array());
  Json trial{{"beer", {{"abv_percent", 5}, {"gravity_sg", 1.012}}}, {"liquor", {{"strength_percent", 40}}}};
  said.post("/api/trial", "/api/trial", trial);
  trial["picks"] = "AB";
  said.post("/api/trial", "/api/trial", trial);
  said.post("/api/trial", "/api/trial", Json{{"brief", brief}});
  said.post("/api/trial", "/api/trial", Json::object());
  const Json took{{"version", 1},
                  {"key", "k1"},
                  {"at", "2026-11-25T11:00:00Z"},
                  {"kind", "took-in"},
                  {"body", {{"ingredient", "apricot kernels"}, {"kg", 1.0}, {"best_before", "2027-01-31"}}}};
  said.post("/api/stock/entries", "/api/stock/entries", Json{{"entries", {took}}});
  said.post("/api/stock/entries", "/api/stock/entries", Json{{"entries", {Json::object()}}});
  said.post("/api/stock/entries", "/api/stock/entries", Json::object());
  said.get("/api/stock/entries", "/api/stock/entries");
  said.get("/api/stock", "/api/stock");
  said.get("/api/store", "/api/store");
  said.get_keepless("/api/store");
  said.get_keepless("/api/stock");
  said.get("/api/larder/{ingredient}", "/api/larder/hazelnut-paste");
  said.get("/api/larder/{ingredient}", "/api/larder/none");
  const Json begin{{"gyle", "test"}, {"key", "k0"}, {"at", "2026-11-25T09:00:00Z"}, {"brief", brief}};
  said.post("/api/gyles", "/api/gyles", begin);
  said.get("/api/kits", "/api/kits");
  said.get_keepless("/api/kits");
  said.get("/api/kits/{kit}", "/api/kits/one%20kettle%20and%20a%20bag");
  said.get("/api/kits/{kit}", "/api/kits/none");
  Json round{{"round", {{"draw-seed", 1}, {"code-seed", 2}}},
             {"have", {{{"item", "pale ale malt"}}, {{"item", "Golding"}}}}};
  round["have"].push_back(Json{{"item", "neutral ale yeast"}});
  for (const char* name : {"Bea", "Cal"})
    round["member"].push_back(Json{{"name", name}, {"parcel", {{{"item", "honey"}, {"amount", "200 g"}}}}});
  for (const std::string what : {"check", "draw", "sheets", "rank"})
    said.post("/api/round/{what}", "/api/round/" + what, Json{{"round", round}});
  said.post("/api/round/{what}", "/api/round/check", Json{{"round", Json::object()}});
  said.post("/api/round/{what}", "/api/round/none", Json{{"round", round}});
  said.post("/api/round/{what}", "/api/round/draw", Json::object());
  const auto entry = [](const char* key, const char* kind, const Json& entry_body) {
    return Json{{"version", 1}, {"key", key}, {"at", "2026-11-25T11:00:00Z"}, {"kind", kind}, {"body", entry_body}};
  };
  const std::string entries = "/api/rounds/{round}/entries", autumn = "/api/rounds/autumn";
  said.post(entries, autumn + "/entries",
            Json{{"entries",
                  {entry("r1", "part", {{"part", "name"}, {"value", "Autumn"}}),
                   entry("r2", "sheet", {{"judge", "Nell"}, {"marks", {{"K7", {{"", 7}}}}}})}}});
  said.post(entries, autumn + "/entries", Json{{"entries", {entry("r3", "drawn", Json::object())}}});
  said.post(entries, autumn + "/entries", Json::object());
  said.get("/api/rounds", "/api/rounds");
  said.get("/api/rounds/{round}", autumn);
  said.post(entries, autumn + "/entries", Json{{"entries", {entry("r4", "closed", Json::object())}}});
  said.get("/api/rounds/{round}", autumn);
  said.get("/api/rounds/{round}", "/api/rounds/none");
  said.get_keepless("/api/rounds");
}

void gyle_exchanges(Exchanges& exchanges, const Json& brief) {
  Said said(exchanges);
  const std::string one = "/api/gyles/{gyle}";
  const Json begin{{"gyle", "test ale"}, {"key", "k0"}, {"at", "2026-11-25T09:00:00Z"}, {"brief", brief}};
  said.post("/api/gyles", "/api/gyles", begin);
  said.post("/api/gyles", "/api/gyles", begin);
  said.post("/api/gyles", "/api/gyles", Json::object());
  said.post("/api/gyles", "/api/gyles",
            Json{{"gyle", "other"}, {"key", "k9"}, {"at", "2026-11-25T09:00:00Z"}, {"brief", brief}, {"proposal", 99}});
  const Json reading{{"version", 1},
                     {"key", "k1"},
                     {"at", "2026-11-25T11:00:00Z"},
                     {"kind", "reading"},
                     {"body", {{"sight", "gravity"}, {"stage", "before-boil"}, {"value", 1.03}}}};
  said.post(one + "/entries", "/api/gyles/test%20ale/entries", Json{{"entries", {reading}}});
  said.post(one + "/entries", "/api/gyles/test%20ale/entries", Json{{"entries", {{{"kind", "reading"}}}}});
  said.post(one + "/entries", "/api/gyles/none/entries", Json{{"entries", {reading}}});
  said.post(one + "/entries", "/api/gyles/none/entries", Json::object());
  said.get("/api/gyles", "/api/gyles?q=test");
  said.get(one, "/api/gyles/test%20ale");
  said.get(one, "/api/gyles/none");
  said.get(one + "/moves", "/api/gyles/test%20ale/moves?units=us");
  said.get(one + "/sheet", "/api/gyles/test%20ale/sheet");
  said.get_keepless("/api/gyles");
}

TEST(OpenApi, RepliesFitTheirSchemas) {
  LiveServer live;
  Exchanges exchanges;
  const auto get = [&](const std::string& route, const std::string& path) {
    exchanges.add("get", route, live.client().Get(path));
  };
  const auto post = [&](const std::string& path, const std::string& body,
                        const std::string& type = "application/json") {
    exchanges.add("post", path, live.client().Post(path, body, type.c_str()));
  };
  get("/api/health", "/api/health");
  get("/api/openapi.json", "/api/openapi.json");
  get("/api/schema/{name}", "/api/schema/answer.schema.json");
  get("/api/schema/{name}", "/api/schema/none.schema.json");
  get("/api/larder", "/api/larder?q=malt");
  get("/api/larder", "/api/larder?q=plutonium");
  get("/api/larder", "/api/larder?limit=none");
  const Json brief = small_brief();
  const Json open{{"id", "0123456789"}, {"brief", brief}};
  post("/api/compose", brief.dump());
  post("/api/compose", source_text("examples/kernels.toml"), "application/toml");
  post("/api/compose", source_text("examples/saltmarsh-round.toml"), "application/toml");
  exchanges.add("post", "/api/compose",
                live.client().Post("/api/compose?learned=yes", brief.dump(), "application/json"));
  exchanges.add("post", "/api/compose",
                live.client().Post("/api/compose?learned=no", brief.dump(), "application/json"));
  post("/api/compose", "{}");
  post("/api/compose", "{}", "text/plain");
  post("/api/compose/warm", open.dump());
  post("/api/compose/warm", "{}");
  post("/api/compose/others", open.dump());
  post("/api/compose/others", "{}");
  post("/api/sheet", open.dump());
  post("/api/sheet", Json{{"brief", brief}, {"proposal", 99}}.dump());
  post("/api/watch", Json{{"brief", brief},
                          {"readings", "time,kind,value\n2026-11-02T17:30,pitched,\n2026-11-06T18:00,gravity,1.020\n"},
                          {"now", "2026-11-07T18:00"}}
                         .dump());
  post("/api/watch", Json{{"brief", brief}, {"readings", "time,kind,value\nsoon,gravity,1.020\n"}}.dump());
  post("/api/watch", "{}");
  post("/api/brief/text", brief.dump());
  post(
      "/api/packet",
      R"({"name": "jam", "declared": "sugar, plums", "packet": {"per": "100 g", "energy": "1020 kJ", "fat": "0 g", "carbohydrate": "60 g", "sugars": "60 g", "protein": "0 g", "salt": "0 g"}})");
  post("/api/packet", R"({"name": "jam", "packet": {"per": "100 g", "energy": "lots"}})");
  gyle_exchanges(exchanges, brief);
  room_exchanges(exchanges, brief);
  get("/api/devices", "/api/devices");
  post("/api/pair", Json{{"link", live.server().pairing_link()}, {"name", "phone"}}.dump());
  get("/api/devices", "/api/devices");
  const std::string shut_out = "/api/devices/{device}/shut-out";
  exchanges.add("post", shut_out, live.client().Post("/api/devices/none/shut-out", "{}", "application/json"));
  const std::string id = Json::parse(live.client().Get("/api/devices")->body)["devices"][0]["id"];
  exchanges.add("post", shut_out, live.client().Post("/api/devices/" + id + "/shut-out", "{}", "application/json"));
  post("/api/pair", R"({"code": "WRONG1"})");
  post("/api/pair", "{}");
  exchanges.expect_fit();
}

TEST(OpenApi, ValidatorCanSayNo) {
  const std::string command =
      "echo '{\"method\": \"get\", \"path\": \"/api/health\", \"status\": 200, \"type\": \"application/json\", "
      "\"body\": \"{}\"}' | python3 -B " ODDGRIST_SOURCE_DIR "/tests/server/validate_exchanges.py " ODDGRIST_SOURCE_DIR
      "/docs/openapi.json > /dev/null 2>&1";
  EXPECT_NE(std::system(command.c_str()), 0);
}

}  // namespace
}  // namespace oddgrist::test
