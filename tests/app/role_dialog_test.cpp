#include "app/windows/role_dialog.h"

#include <gtest/gtest.h>

#include <QPushButton>

namespace beatwitness::app {
namespace {

Candidate heartRate(const std::string& name) {
    recording::RecordingFile file;
    file.file = name;
    file.recording.channels.push_back(
        {recording::ChannelKind::HeartRate,
         {RecordingTime{std::chrono::seconds{0}}, RecordingTime{std::chrono::seconds{1}}},
         {120.0, 121.0}});
    file.recording.rows = 2;
    return candidateOf(std::make_shared<const recording::RecordingFile>(file));
}

std::vector<Candidate> three() {
    return {heartRate("a.csv"), heartRate("b.csv"), heartRate("c.csv")};
}

TEST(RoleDialog, ChoosingAnotherReferenceMakesTheFormerATest) {
    RoleDialog dialog(three(), {Role::Reference, Role::Test, Role::Test});

    dialog.setRole(2, Role::Reference);

    EXPECT_EQ(dialog.role(0), Role::Test);
    EXPECT_EQ(dialog.plan().reference->file, "c.csv");
    EXPECT_EQ(dialog.plan().tests.size(), 2u);
}

TEST(RoleDialog, CannotCompareWithoutATest) {
    RoleDialog dialog(three(), {Role::Reference, Role::Test, Role::LeftOut});

    dialog.setRole(1, Role::LeftOut);

    EXPECT_FALSE(dialog.findChild<QPushButton*>("compareButton")->isEnabled());
}

TEST(RoleDialog, CannotCompareWithoutAReference) {
    RoleDialog dialog(three(), {Role::Reference, Role::Test, Role::Test});

    dialog.setRole(0, Role::LeftOut);

    EXPECT_FALSE(dialog.findChild<QPushButton*>("compareButton")->isEnabled());
}

}  // namespace
}  // namespace beatwitness::app
