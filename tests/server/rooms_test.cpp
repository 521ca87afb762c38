// Gas, bench trial, stock, kits and rounds over HTTP: what they say, what they refuse, and how.
#include "store/store.hpp"

// Last: the HTTP library in it defines _res as a macro.
#include "live_server.hpp"

namespace oddgrist::test {
namespace {

httplib::Result post(const LiveServer& live, const std::string& path, const Json& body) {
  return live.client().Post(path, body.dump(), "application/json");
}

Json well(const httplib::Result& reply) {
  if (!reply || reply->status != 200) {
    ADD_FAILURE() << (reply ? reply->body : "no reply");
    return Json::object();
  }
  return Json::parse(reply->body);
}

// The field each problem names.
std::vector<std::string> fields_of(const httplib::Result& reply) {
  std::vector<std::string> fields;
  if (!reply) return fields;
  const Json document = Json::parse(reply->body);
  for (const Json& problem : document["problems"]) fields.push_back(problem.value("field", ""));
  return fields;
}

TEST(BodiesOfEveryRoom, AreRefusedInOneWay) {
  const LiveServer live;
  for (const std::string path : {"/api/gas", "/api/trial", "/api/round/check", "/api/stock/entries"}) {
    expect_problem(live.client().Post(path, "{}", "text/plain"), 415, "wrong-type");
    expect_problem(live.client().Post(path, "[1", "application/json"), 400, "bad-request");
    expect_problem(live.client().Post(path, std::string((256U << 10) + 1, ' '), "application/json"), 413, "too-large");
    expect_problem(live.client().Put(path, "{}", "application/json"), 405, "wrong-method");
    expect_problem(
        live.client().Post(path, httplib::Headers{{"Origin", "http://elsewhere.example"}}, "{}", "application/json"),
        403, "refused");
  }
}

TEST(Gas, SaysWhenToTurnItDown) {
  const LiveServer live;
  const Json plan{{"wanted_volumes", 2.5},
                  {"temperature_c", 4.0},
                  {"began", "2026-11-24T18:00"},
                  {"now", "2026-11-25T12:00"},
                  {"readings", {{{"time", "2026-11-25T12:00"}, {"gauge_bar", 0.5}}}}};
  const Json gas = well(post(live, "/api/gas", plan));
  EXPECT_EQ(gas["state"], "under-way");
  EXPECT_EQ(gas["readings"].size(), 1);
  EXPECT_LT(gas["turn_down"]["soonest"], gas["turn_down"]["usual"]);
  EXPECT_LT(gas["turn_down"]["usual"], gas["turn_down"]["latest"]);
  EXPECT_GT(gas["day_too_long_volumes"], 2.5);
  ASSERT_FALSE(gas["dangers"].empty());
  Json later = plan;
  later["now"] = "2026-11-27T12:00";
  EXPECT_EQ(well(post(live, "/api/gas", later))["state"], "turn-down-now");
}

TEST(Gas, IsRefusedBeyondWhatTheKegBears) {
  const LiveServer live;
  const Json gas = well(post(live, "/api/gas", Json{{"high_gauge_bar", 6.0}, {"keg_rating_bar", 4.0}}));
  EXPECT_EQ(gas["state"], "refused");
  EXPECT_FALSE(gas["refusals"].empty());
  EXPECT_FALSE(gas["dangers"].empty());
  EXPECT_FALSE(gas.contains("turn_down"));
}

TEST(Gas, NamesEveryWrongField) {
  const LiveServer live;
  const Json wrong{{"wanted_volumes", 99},
                   {"by", "magic"},
                   {"began", "yesterday"},
                   {"readings", {{{"gauge_bar", -1}}}},
                   {"colour", "blue"}};
  const auto reply = post(live, "/api/gas", wrong);
  expect_problem(reply, 422, "gas");
  const auto fields = fields_of(reply);
  for (const std::string field :
       {"wanted_volumes", "by", "began", "readings[0].time", "readings[0].gauge_bar", "colour"})
    EXPECT_NE(std::find(fields.begin(), fields.end(), field), fields.end()) << field << " in " << reply->body;
  expect_problem(post(live, "/api/gas", Json{{"began", "2026-11-26T18:00"}, {"now", "2026-11-25T18:00"}}), 422, "gas");
}

const Json typed_trial{
    {"beer", {{"abv_percent", 5.0}, {"gravity_sg", 1.012}}}, {"liquor", {{"strength_percent", 40.0}}}, {"seed", 7}};

TEST(Trial, PlansGlassesAndTurnsPicksIntoADose) {
  const LiveServer live;
  const Json trial = well(post(live, "/api/trial", typed_trial));
  EXPECT_EQ(trial["glasses"].size(), 6);
  EXPECT_FALSE(trial.contains("picked"));
  EXPECT_EQ(trial["glasses"][0]["dose_ml"], 0.0);
  EXPECT_NEAR(trial["batch_l"].get<double>(), 10.0, 1e-9);
  const std::string third = trial["glasses"][2]["letter"];
  Json liked = typed_trial;
  liked["picks"] = third + third + trial["glasses"][5]["letter"].get<std::string>();
  const Json picked = well(post(live, "/api/trial", liked))["picked"];
  EXPECT_EQ(picked["letter"], third);
  // As much in a litre of the batch as in a litre of the glass.
  EXPECT_NEAR(picked["batch_dose_ml"].get<double>() / 10000.0, picked["dose_ml"].get<double>() / 100.0, 1e-9);
}

TEST(Trial, RefusesWhatCannotBeTried) {
  const LiveServer live;
  expect_problem(post(live, "/api/trial", Json::object()), 400, "bad-request");
  Json both = typed_trial;
  both["brief"] = small_brief();
  expect_problem(post(live, "/api/trial", both), 400, "bad-request");
  expect_problem(post(live, "/api/trial", Json{{"brief", small_brief()}}), 422, "trial");  // doses no infusion
  expect_problem(post(live, "/api/trial", Json{{"brief", small_brief()}, {"proposal", 99}}), 422, "no-such-proposal");
  Json odd = typed_trial;
  odd["picks"] = "Z";
  expect_problem(post(live, "/api/trial", odd), 422, "trial");
  odd = typed_trial;
  odd["doses_ml"] = Json::array({0.5, -1, 2000});
  expect_problem(post(live, "/api/trial", odd), 422, "trial");
  odd = typed_trial;
  odd["liquor"] = Json{{"strength_percent", 96}, {"sugar_g_per_l", 900}};
  EXPECT_EQ(fields_of(post(live, "/api/trial", odd)), std::vector<std::string>{"liquor"});
}

Json entry(const std::string& key, const std::string& kind, const Json& body, const std::string& mends = "") {
  Json entry{{"version", 1}, {"key", key}, {"at", "2026-11-25T11:00:00.000Z"}, {"kind", kind}, {"body", body}};
  if (!mends.empty()) entry["mends"] = mends;
  return entry;
}

class Stock : public ::testing::Test {
 protected:
  [[nodiscard]] httplib::Result write(const Json& entries) const {
    return post(live_, "/api/stock/entries", Json{{"entries", entries}});
  }
  [[nodiscard]] Json stock() const { return well(live_.client().Get("/api/stock"))["stock"]; }

  KeptFolder folder_;
  LiveServer live_{folder_.settings()};
};

TEST_F(Stock, ComesInAndGoesOutOnceHoweverOftenSent) {
  const Json in = entry("a", "took-in", Json{{"ingredient", "pale-ale-malt"}, {"kg", 5.0}});
  EXPECT_EQ(well(write(Json::array({in})))["written"], 1);
  EXPECT_EQ(well(write(Json::array({in})))["written"], 0);
  EXPECT_EQ(well(write(Json::array(
                {entry("b", "used", Json{{"ingredient", "pale-ale-malt"}, {"kg", 1.5}}),
                 entry("c", "opened", Json{{"ingredient", "pale-ale-malt"}, {"on", "2026-11-20"}})})))["written"],
            2);
  const Json list = stock();
  ASSERT_EQ(list.size(), 1);
  EXPECT_EQ(list[0]["name"], "pale ale malt");
  EXPECT_EQ(list[0]["kind"], "malt");
  EXPECT_NEAR(list[0]["grams"].get<double>(), 3500.0, 1e-6);
  EXPECT_EQ(list[0]["opened_on"], "2026-11-20");
  // Struck, it was never taken.
  EXPECT_EQ(well(write(Json::array({entry("d", "struck", Json{{"why", "undone"}}, "b")})))["written"], 1);
  EXPECT_NEAR(stock()[0]["grams"].get<double>(), 5000.0, 1e-6);
  const Json log = well(live_.client().Get("/api/stock/entries"));
  EXPECT_EQ(log["all"], 4);
  EXPECT_EQ(log["entries"][0]["key"], "d");
  EXPECT_EQ(log["entries"][2]["key"], "b");
  EXPECT_EQ(log["entries"][2]["holds"], false);
  EXPECT_EQ(log["entries"][3]["holds"], true);
}

TEST_F(Stock, SaysWhatIsDangerousUnderAnyName) {
  ASSERT_EQ(well(write(
                Json::array({entry("a", "took-in", Json{{"ingredient", "apricot kernels"}, {"kg", 0.2}})})))["written"],
            1);
  const Json list = stock();
  ASSERT_EQ(list.size(), 1);
  EXPECT_FALSE(list[0].contains("kind"));
  ASSERT_FALSE(list[0]["hazards"].empty());
  EXPECT_EQ(list[0]["hazards"][0]["severity"], "refuse");
}

TEST_F(Stock, RefusesAllOfALotWithOneMistake) {
  const Json good = entry("a", "took-in", Json{{"ingredient", "honey"}, {"kg", 1.0}});
  for (const Json& bad : {entry("b", "took-in", Json{{"ingredient", "honey"}, {"kg", -1.0}}),
                          entry("b", "stolen", Json{{"ingredient", "honey"}, {"kg", 1.0}}),
                          entry("stock/b", "took-in", Json{{"ingredient", "honey"}, {"kg", 1.0}}),
                          entry("b", "struck", Json{{"why", "x"}}, "nothing"), Json{{"key", "b"}}, Json("b")}) {
    expect_problem(write(Json::array({good, bad})), 422, "stock");
  }
  EXPECT_TRUE(stock().empty());
  expect_problem(write(Json::array()), 400, "bad-request");
}

TEST(StockWithoutAStore, IsRefusedWithWhatToDo) {
  const LiveServer live;
  expect_problem(live.client().Get("/api/stock"), 503, "no-store");
  expect_problem(live.client().Get("/api/kits"), 503, "no-store");
}

TEST(Larder, AnswersAPoisonWithWhatItDoesAndNotWithANameThatIsNear) {
  const LiveServer live;
  const Json found = well(live.client().Get("/api/larder?q=foxglove%20leaves"));
  EXPECT_TRUE(found["ingredients"].empty());
  EXPECT_FALSE(found.contains("nearest"));
  ASSERT_FALSE(found["hazards"].empty());
  EXPECT_EQ(found["hazards"][0]["severity"], "refuse");
  EXPECT_TRUE(well(live.client().Get("/api/larder?q=smokd%20wheat%20mallt")).contains("nearest"));
}

TEST(Compose, RefusesAPoisonTheLarderDoesNotKnow) {
  const LiveServer live;
  const std::string brief =
      "[want]\nvolume = \"10 L\"\n[[given]]\nitem = \"foxglove leaves\"\namount = \"5 g\"\n[[have]]\nitem = \"pale ale "
      "malt\"\n[[have]]\nitem = \"neutral ale yeast\"\n";
  const Json answer = well(live.client().Post("/api/compose", brief, "application/toml"));
  EXPECT_EQ(answer["outcome"], "refused");
  EXPECT_TRUE(answer["proposals"].empty());
  EXPECT_EQ(answer["cautions"][0]["severity"], "refuse");
}

TEST(Larder, SaysWhatOneIngredientHolds) {
  const LiveServer live;
  const Json found = well(live.client().Get("/api/larder/hazelnut%20paste"));
  EXPECT_EQ(found["ingredient"]["kind"], "food");
  EXPECT_FALSE(found["ingredient"]["allergens"].empty());
  EXPECT_FALSE(found["notice"].get<std::string>().empty());
  expect_problem(live.client().Get("/api/larder/plutonium"), 404, "not-found");
}

TEST(Kits, ListThoseBrewedWithAndWhatTheyTaught) {
  const KeptFolder folder;
  const LiveServer live(folder.settings());
  EXPECT_TRUE(well(live.client().Get("/api/kits"))["kits"].empty());
  well(post(live, "/api/gyles",
            Json{{"gyle", "test"}, {"key", "k"}, {"at", "2026-11-25T09:00:00Z"}, {"brief", small_brief()}}));
  const Json kits = well(live.client().Get("/api/kits"))["kits"];
  ASSERT_EQ(kits.size(), 1);
  EXPECT_EQ(kits[0]["gyles"], 1);
  EXPECT_EQ(kits[0]["kit"], "one kettle and a bag");
  const std::string path = "/api/kits/one%20kettle%20and%20a%20bag";
  EXPECT_TRUE(well(live.client().Get(path))["told_by"].empty());
  const auto reading = [](const std::string& key, const std::string& sight, const std::string& stage, double value) {
    return Json{{"version", 1},
                {"key", key},
                {"at", "2026-11-25T11:00:00.000Z"},
                {"kind", "reading"},
                {"body", {{"sight", sight}, {"stage", stage}, {"value", value}}}};
  };
  well(post(
      live, "/api/gyles/test/entries",
      Json{{"entries", {reading("v", "volume", "before-boil", 8.0), reading("g", "gravity", "before-boil", 1.04)}}}));
  const Json kit = well(live.client().Get(path));
  EXPECT_EQ(kit["told_by"], Json::array({"test"}));
  ASSERT_FALSE(kit["figures"].empty());
  for (const Json& figure : kit["figures"]) {
    EXPECT_LE(figure["stated"]["low"], figure["stated"]["high"]);
    EXPECT_LE(figure["learned"]["low"], figure["learned"]["high"]);
  }
  expect_problem(live.client().Get("/api/kits/none"), 404, "not-found");
}

// Three friends, small enough to be quick.
Json small_round() {
  const auto member = [](const std::string& name, const std::string& item) {
    return Json{{"name", name}, {"parcel", {{{"item", item}, {"amount", "250 g"}}}}};
  };
  return Json{{"round", {{"name", "Three friends"}, {"draw-seed", 20261004}, {"code-seed", 5081}}},
              {"kit", {{{"name", "pot"}, {"kettle", "9 L"}}}},
              {"have", {{{"item", "pale ale malt"}}, {{"item", "Golding"}}, {{"item", "neutral ale yeast"}}}},
              {"member", {member("Bea", "honey"), member("Cal", "rye malt"), member("Dot", "smoked wheat malt")}}};
}

TEST(Rounds, AreCheckedDrawnCodedAndRanked) {
  const LiveServer live;
  const Json check = well(post(live, "/api/round/check", Json{{"round", small_round()}}));
  EXPECT_EQ(check["result"]["parcels"].size(), 3);
  const Json draw = well(post(live, "/api/round/draw", Json{{"round", small_round()}}));
  EXPECT_EQ(draw, well(post(live, "/api/round/draw", Json{{"round", small_round()}})));
  Json drawn = small_round();
  ASSERT_EQ(draw["result"]["pairs"].size(), 3);
  for (const Json& pair : draw["result"]["pairs"]) {
    EXPECT_NE(pair["brewer"], pair["giver"]);
    drawn["drawn"][pair["brewer"].get<std::string>()] = pair["giver"];
  }
  const Json sheets = well(post(live, "/api/round/sheets", Json{{"round", drawn}}))["result"];
  EXPECT_EQ(sheets["key"].size(), 3);
  double mark = 4.0;
  for (const Json& sheet : sheets["sheets"]) {
    Json scores = Json::object();
    for (const Json& code : sheet["codes"]) scores[code.get<std::string>()] = mark += 0.5;
    drawn["sheet"].push_back(Json{{"judge", sheet["judge"]}, {"scores", scores}});
  }
  const Json places = well(post(live, "/api/round/rank", Json{{"round", drawn}}))["result"];
  EXPECT_EQ(places["beers"].size(), 3);
  EXPECT_TRUE(places["left_out"].empty());
}

TEST(Rounds, SayWhatIsWrong) {
  const LiveServer live;
  expect_problem(post(live, "/api/round/check", Json::object()), 400, "bad-request");
  expect_problem(post(live, "/api/round/check", Json{{"round", "x"}}), 422, "round");
  expect_problem(post(live, "/api/round/check", Json{{"round", Json::object()}}), 422, "round");
  expect_problem(post(live, "/api/round/dance", Json{{"round", small_round()}}), 404, "not-found");
  expect_problem(post(live, "/api/round/draw", Json{{"round", small_round()}, {"seed", -3}}), 400, "bad-request");
  Json seedless = small_round();
  seedless["round"].erase("draw-seed");
  seedless["round"].erase("code-seed");
  expect_problem(post(live, "/api/round/draw", Json{{"round", seedless}}), 422, "round");
  expect_problem(post(live, "/api/round/sheets", Json{{"round", seedless}}), 422, "round");
  Json unknown = small_round();
  unknown["member"][0]["parcel"][0]["item"] = "plutonium";
  expect_problem(post(live, "/api/round/check", Json{{"round", unknown}}), 422, "round");
  Json crowd = small_round();
  for (int i = 0; i < 20; ++i) {
    const std::string name = "brewer " + std::to_string(i);
    crowd["kit"].push_back(Json{{"name", name}, {"kettle", std::to_string(9 + i) + " L"}});
    crowd["member"].push_back(
        Json{{"name", name}, {"kit", name}, {"parcel", {{{"item", "honey"}, {"amount", "200 g"}}}}});
  }
  for (Json& member : crowd["member"])
    if (!member.contains("kit")) member["kit"] = "pot";
  expect_problem(post(live, "/api/round/check", Json{{"round", crowd}}), 422, "round");
}

}  // namespace
}  // namespace oddgrist::test
