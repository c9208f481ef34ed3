#include "core/library/sharing.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <fstream>
#include <iterator>

#include "tests/library/library_fixture.h"

/// What a copy for others holds, and above all what it does not: its bytes are searched.
namespace beatwitness::tests {
namespace {

using library::Sharing;

std::string bytesOf(const std::filesystem::path& file) {
    std::ifstream in{file, std::ios::binary};
    return {std::istreambuf_iterator<char>{in}, {}};
}

/// Two sessions of people with names, one of another project; serials, units, notes and file names tell on
/// them.
class SharedCopy : public LibraryFixture {
protected:
    SharedCopy() {
        auto ours = opened();
        for (const auto& [name, wearer, seed] :
             {std::tuple{"Anna on the erg", "Anna Weissenfels", 1}, {"hill walk", "Bruno Quast", 2}}) {
            auto draft = pairDraft(name, static_cast<std::uint64_t>(seed));
            draft.wearer = wearer;
            draft.activity = "rowing ergometer";
            draft.note = "met at Hafengasse 12";
            draft.wearings[1].facts.unit = "UNIT-4711-" + std::to_string(seed);
            draft.wearings[1].facts.position = "wrist";
            EXPECT_TRUE(ours.addSessions(std::span{&draft, 1}, "Harbour Crew"));
        }
        auto draft = pairDraft("secret session", 3);
        draft.wearer = "Third Person";
        EXPECT_TRUE(ours.addSessions(std::span{&draft, 1}, "another project"));
        EXPECT_TRUE(ours.addSessions({}, "Harbour Crew"));
        project_ = *ours.findProject("Harbour Crew");
    }

    void write(const std::string& sql) const { (void)rawSql(path(), sql); }

    /// The bytes of what saveProject() writes.
    [[nodiscard]] std::string copied(Sharing sharing) const {
        auto ours = library::Library::open(path(), {.write = false});
        EXPECT_TRUE(ours);
        const auto done = library::saveProject(*ours, project_, path("copy.library"), sharing);
        EXPECT_TRUE(done) << sentence(done.fault());
        return bytesOf(path("copy.library"));
    }

    library::ProjectId project_;
};

void expectNone(const std::string& bytes, const std::vector<std::string>& words) {
    for (const auto& word : words)
        EXPECT_EQ(bytes.find(word), std::string::npos) << word;
}

}  // namespace

TEST_F(SharedCopy, HoldsNoNameOfAWearer) {
    write("UPDATE device SET label = 'anna''s band' WHERE label = 'band'");
    write("UPDATE project SET question = 'Does the band serve BRUNO as well?' WHERE label = 'Harbour Crew'");

    const auto bytes = copied(Sharing::Copy);

    expectNone(bytes, {"Anna", "anna", "Weissenfels", "Bruno", "BRUNO", "Quast"});
}

TEST_F(SharedCopy, HoldsNoSerialAndNoUnit) {
    write("UPDATE recording SET serial = '3990017' || id, device = 'band 3990017'");
    write("UPDATE wearing SET reason = 'unit UNIT-4711-1 was replaced by 39900171'");

    const auto bytes = copied(Sharing::Copy);

    expectNone(bytes, {"3990017", "UNIT-4711"});
}

TEST_F(SharedCopy, HoldsNoNoteAndNoPlace) {
    write("UPDATE session SET place = 'Hafengasse', medication = 'betablocker'");
    write("UPDATE wearer SET note = 'lives in Hafengasse'");

    const auto bytes = copied(Sharing::Copy);

    expectNone(bytes, {"Hafengasse", "betablocker"});
}

TEST_F(SharedCopy, HoldsNoFileName) {
    write("UPDATE recording SET file = 'export of the harbour ' || id || '.csv'");

    expectNone(copied(Sharing::Copy), {"export of the harbour"});
}

TEST_F(SharedCopy, HoldsNoOriginal) {
    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path("copy.library"), "SELECT count(*) FROM original"), "0");
}

TEST_F(SharedCopy, HoldsNothingOfOtherProjects) {
    const auto bytes = copied(Sharing::Copy);

    expectNone(bytes, {"secret session", "Third Person", "another project"});
}

TEST_F(SharedCopy, KeepsTheDigests) {
    const auto digests = rawSql(path(),
                                "SELECT group_concat(sha256) FROM (SELECT sha256 FROM recording WHERE id IN "
                                "(SELECT recording_id FROM wearing_recording JOIN wearing ON wearing.id = "
                                "wearing_id JOIN project_session ON project_session.session_id = "
                                "wearing.session_id WHERE project_id = 1) ORDER BY sha256)");

    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path("copy.library"),
                     "SELECT group_concat(sha256) FROM (SELECT sha256 FROM recording ORDER BY sha256)"),
              digests);
}

TEST_F(SharedCopy, NamesWearersByNumber) {
    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path("copy.library"),
                     "SELECT group_concat(label) FROM (SELECT label FROM wearer ORDER BY label)"),
              "wearer 1,wearer 2");
}

TEST_F(SharedCopy, KeepsTracesToTheLastDigit) {
    const auto samples =
        "SELECT hex(group_concat(hex(times) || hex(\"values\"))) FROM (SELECT times, \"values\" FROM channel "
        "JOIN recording ON recording.id = recording_id JOIN wearing_recording USING (recording_id) JOIN "
        "wearing ON wearing.id = wearing_id JOIN session ON session.id = session_id WHERE session.id IN (1, "
        "2) ORDER BY sha256, channel.ordinal)";
    const auto before = rawSql(path(), samples);

    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path("copy.library"), samples), before);
}

TEST_F(SharedCopy, LeavesWordsThatOnlyContainAName) {
    write("UPDATE session SET protocol = 'Hannah planned it; anna rowed' WHERE id = 1");

    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path("copy.library"), "SELECT protocol FROM session WHERE id = 1"),
              "Hannah planned it; wearer 1 rowed");
}

// "strap" is a word of a closed list nowhere, but "test" is a role.
TEST_F(SharedCopy, SurvivesAWearerWhoseNameIsAWordOfTheLayout) {
    write("UPDATE wearer SET label = 'Test Csv Utc' WHERE label = 'Anna Weissenfels'");

    (void)copied(Sharing::Copy);

    auto copy = library::Library::open(path("copy.library"), {.write = false});
    ASSERT_TRUE(copy);
    EXPECT_TRUE(copy->checkIntegrity());
    EXPECT_EQ(copy->allSessions()->size(), 2u);
}

TEST_F(SharedCopy, IsOneFile) {
    (void)copied(Sharing::Copy);

    const auto names = namesInFolder();
    EXPECT_EQ(std::ranges::count_if(names, [](const auto& name) { return name.starts_with("copy.library"); }),
              1);
}

TEST_F(SharedCopy, LeavesTheLibraryAsItWas) {
    const auto before = rawSql(path(), "SELECT group_concat(label) FROM wearer");

    (void)copied(Sharing::Copy);

    EXPECT_EQ(rawSql(path(), "SELECT group_concat(label) FROM wearer"), before);
}

TEST_F(SharedCopy, OfTheLibraryItselfIsRefused) {
    auto ours = opened();

    const auto done = library::saveProject(ours, project_, path(), Sharing::Copy);

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
}

TEST_F(SharedCopy, OfAWholeProjectKeepsOriginalsAndNames) {
    const auto bytes = copied(Sharing::Project);

    EXPECT_NE(bytes.find("Anna Weissenfels"), std::string::npos);
    EXPECT_EQ(rawSql(path("copy.library"), "SELECT count(*) FROM original"), "4");
    expectNone(bytes, {"secret session", "Third Person", "another project"});
}

}  // namespace beatwitness::tests
