PRAGMA application_id = 1329874770; PRAGMA user_version = 1;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE stream(
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL UNIQUE
) STRICT;
INSERT INTO stream VALUES(1,'larder');
INSERT INTO stream VALUES(2,'kit/shed kettle');
INSERT INTO stream VALUES(3,'brief/saltmarsh');
INSERT INTO stream VALUES(4,'round/autumn');
INSERT INTO stream VALUES(5,'gyle/g1');
CREATE TABLE entry(
  id INTEGER PRIMARY KEY,
  stream INTEGER NOT NULL REFERENCES stream(id),
  key TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  version INTEGER NOT NULL,
  at INTEGER NOT NULL,
  mends TEXT NOT NULL,
  body TEXT NOT NULL,
  sum INTEGER NOT NULL
) STRICT;
INSERT INTO entry VALUES(1,1,'in-1','took-in',1,1795561200000,'','{"ingredient":"pale-malt","kg":5.0,"best_before":"2027-03-31","remark":"sack from the mill"}',3673310525);
INSERT INTO entry VALUES(2,1,'in-2','took-in',1,1795561260000,'','{"ingredient":"home-hops","kg":0.1}',2104302951);
INSERT INTO entry VALUES(3,1,'open-1','opened',1,1795561320000,'','{"ingredient":"pale-malt","on":"2026-11-01"}',2482095893);
INSERT INTO entry VALUES(4,1,'count-1','counted',1,1795561380000,'','{"ingredient":"ale-yeast","kg":0.023}',4122069980);
INSERT INTO entry VALUES(5,2,'kit-1','stated',1,1795561800000,'','{"name":"shed kettle","mash_method":"full-volume-bag","kettle_l":16.0,"fermenter_l":0.0,"kettle_headspace_share":0.05,"boil_off_l_per_h":2.0,"boil_min":60.0,"rest_min":60.0,"hot_stand_min":0.0,"hot_stand_at_c":80.0,"flame_out_to_cold_min":20.0,"held_by_grain_l_per_kg":0.6,"held_by_hops_l_per_kg":6.0,"conversion_share":0.9500000000000001,"kettle_loss_l":0.5,"fermenter_loss_l":0.5,"kettle_heat_kj_per_k":2.0,"sparge_l":0.0,"room_c":20.0,"boiling_point_c":100.0}',4183665006);
INSERT INTO entry VALUES(6,3,'brief-1','brief',1,1795562400000,'','{"name":"The Saltmarsh Round","text":"name = \"The Saltmarsh Round\"\n"}',1339535436);
INSERT INTO entry VALUES(7,3,'proposal-1','proposal',1,1795562460000,'','{"name":"first","recipe":{"amounts":[{"what":"pale-malt","into":"grist","kg":2.0},{"what":"home-hops","into":"kettle","kg":0.02,"minutes_before_boil_end":60.0},{"what":"home-hops","into":"flame-out","kg":0.025},{"what":"water","into":"mash-liquor","kg":12.0}],"yeast":"ale-yeast","yeast_kg":0.0115,"rest_temperature_c":66.0}}',3061683388);
INSERT INTO entry VALUES(8,4,'round-1','drawn',1,1795563000000,'','{"a":[1,2],"z":1}',883055529);
INSERT INTO entry VALUES(9,5,'g1-start','started',1,1795564800000,'','{"name":"Harvest ale","brief_text":"name = \"The Saltmarsh Round\"\n","recipe":{"amounts":[{"what":"pale-malt","into":"grist","kg":2.0},{"what":"home-hops","into":"kettle","kg":0.02,"minutes_before_boil_end":60.0},{"what":"home-hops","into":"flame-out","kg":0.025},{"what":"water","into":"mash-liquor","kg":12.0}],"yeast":"ale-yeast","yeast_kg":0.0115,"rest_temperature_c":66.0},"kit":"shed kettle"}',1386523949);
INSERT INTO entry VALUES(10,5,'g1-r1','reading',1,1795564860000,'','{"sight":"temperature","stage":"fermenter","value":19.5,"unit":"°C"}',3531149491);
INSERT INTO entry VALUES(11,5,'g1-r2','reading',1,1795564920000,'','{"sight":"temperature","stage":"fermenter","value":20.25,"unit":"°C"}',227177446);
INSERT INTO entry VALUES(12,5,'g1-mash','reached',1,1795564980000,'','{"stage":"mash"}',2968553568);
INSERT INTO entry VALUES(13,5,'g1-note','note',1,1795565040000,'','{"text":"smells of Brötchen and \"smoke\"\n"}',449944850);
INSERT INTO entry VALUES(14,5,'g1-strike','struck',1,1795565100000,'g1-r1','{"why":"thermometer was in the wrong vessel"}',350641720);
INSERT INTO entry VALUES(15,1,'stock/15','used',1,1795565100000,'','{"ingredient":"ale-yeast","kg":0.0115,"gyle":"g1","entry":"g1-start"}',2915631983);
INSERT INTO entry VALUES(16,1,'stock/16','used',1,1795565100000,'','{"ingredient":"home-hops","kg":0.045,"gyle":"g1","entry":"g1-start"}',1307622762);
INSERT INTO entry VALUES(17,1,'stock/17','used',1,1795565100000,'','{"ingredient":"pale-malt","kg":2.0,"gyle":"g1","entry":"g1-start"}',2437472638);
CREATE TABLE gyle(id TEXT PRIMARY KEY, name TEXT NOT NULL, brief TEXT NOT NULL, kit TEXT NOT NULL, stage TEXT NOT NULL, started_at INTEGER NOT NULL, changed_at INTEGER NOT NULL, entries INTEGER NOT NULL, last_entry INTEGER NOT NULL, folded TEXT NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO gyle VALUES('g1','Harvest ale','The Saltmarsh Round','shed kettle','mash',1795564800000,1795565100000,6,14,'harvest ale the saltmarsh round shed kettle g1');
CREATE TABLE stock(ingredient TEXT PRIMARY KEY, kg REAL NOT NULL, opened_on TEXT, best_before TEXT, changed_at INTEGER NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO stock VALUES('ale-yeast',0.011499999999999999805,NULL,NULL,1795565100000);
INSERT INTO stock VALUES('home-hops',0.055000000000000007216,NULL,NULL,1795565100000);
INSERT INTO stock VALUES('pale-malt',3.0,'2026-11-01','2027-03-31',1795565100000);
CREATE TABLE kit(name TEXT PRIMARY KEY, entry INTEGER NOT NULL, stated_at INTEGER NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO kit VALUES('shed kettle',5,1795561800000);
CREATE TABLE brief(id TEXT PRIMARY KEY, name TEXT NOT NULL, changed_at INTEGER NOT NULL) STRICT, WITHOUT ROWID;
INSERT INTO brief VALUES('saltmarsh','The Saltmarsh Round',1795562460000);
CREATE INDEX entry_of_stream ON entry(stream, id);
CREATE INDEX entry_mending ON entry(mends) WHERE mends <> '';
CREATE INDEX stock_entry ON entry(json_extract(body, '$.ingredient')) WHERE stream = 1;
CREATE INDEX stock_said ON entry(json_extract(body, '$.ingredient')) WHERE stream = 1 AND kind <> 'used';
CREATE INDEX used_entry ON entry(json_extract(body, '$.gyle')) WHERE stream = 1 AND kind = 'used';
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END;
CREATE TRIGGER entry_is_never_removed BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never removed'); END;
CREATE TRIGGER stream_is_never_changed BEFORE UPDATE ON stream
BEGIN SELECT RAISE(ABORT, 'a stream is never changed'); END;
CREATE TRIGGER stream_is_never_removed BEFORE DELETE ON stream
BEGIN SELECT RAISE(ABORT, 'a stream is never removed'); END;
CREATE INDEX gyle_by_change ON gyle(last_entry);
COMMIT;
