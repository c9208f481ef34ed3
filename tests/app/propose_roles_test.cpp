#include "app/document/propose_roles.h"

#include <gtest/gtest.h>

namespace beatwitness::app {
namespace {

/// One sample a second from `start_s`; a rate of 0 is a missing sample.
Candidate candidate(const std::string& name, const std::vector<double>& rates, int start_s = 0) {
    recording::RecordingFile file;
    file.file = name;
    recording::Channel channel;
    for (std::size_t i = 0; i < rates.size(); ++i) {
        if (rates[i] == 0.0) continue;
        channel.times.emplace_back(std::chrono::seconds{start_s + static_cast<int>(i)});
        channel.values.push_back(rates[i]);
    }
    file.recording.rows = rates.size();
    if (!channel.values.empty()) file.recording.channels.push_back(channel);
    return candidateOf(std::make_shared<const recording::RecordingFile>(file));
}

Candidate cadenceOnly(const std::string& name) {
    recording::RecordingFile file;
    file.file = name;
    file.recording.channels.push_back({recording::ChannelKind::Cadence, {RecordingTime{}}, {80.0}});
    file.recording.rows = 1;
    return candidateOf(std::make_shared<const recording::RecordingFile>(file));
}

const std::vector<double> steady(60, 120.0);
const std::vector<double> holed = [] {
    std::vector<double> rates(60, 120.0);
    std::fill(rates.begin() + 20, rates.begin() + 30, 0.0);
    return rates;
}();

TEST(ProposeRoles, TakesTheOneNamedLikeAReference) {
    const std::vector candidates{candidate("band.csv", steady), candidate("/a/my-STRAP.csv", holed)};

    const auto proposal = proposeRoles(candidates);

    EXPECT_EQ(proposal.roles, (std::vector{Role::Test, Role::Reference}));
    EXPECT_TRUE(proposal.clear);
}

TEST(ProposeRoles, TakesTheMoreCompleteOneWithoutAName) {
    const std::vector candidates{candidate("one.csv", holed), candidate("two.csv", steady)};

    const auto proposal = proposeRoles(candidates);

    EXPECT_EQ(proposal.roles, (std::vector{Role::Test, Role::Reference}));
    EXPECT_FALSE(proposal.clear);
}

TEST(ProposeRoles, TakesTheFirstOfEquals) {
    const std::vector candidates{candidate("one.csv", steady), candidate("two.csv", steady)};

    const auto proposal = proposeRoles(candidates);

    EXPECT_EQ(proposal.roles, (std::vector{Role::Reference, Role::Test}));
}

TEST(ProposeRoles, IsNotClearWhenTheRecordingsDoNotMeetInTime) {
    const std::vector candidates{candidate("strap.csv", steady), candidate("band.csv", steady, 3600)};

    const auto proposal = proposeRoles(candidates);

    EXPECT_FALSE(proposal.clear);
}

TEST(ProposeRoles, MakesAFileWithCadenceOnlyAContext) {
    const std::vector candidates{candidate("strap.csv", steady), candidate("band.csv", steady),
                                 cadenceOnly("pod.csv")};

    const auto proposal = proposeRoles(candidates);

    EXPECT_EQ(proposal.roles[2], Role::Context);
}

TEST(ProposeRoles, NeverMakesAFileWithoutHeartRateTheReference) {
    const std::vector candidates{candidate("strap.csv", {0.0, 0.0}), candidate("band.csv", steady)};

    const auto proposal = proposeRoles(candidates);

    EXPECT_EQ(proposal.roles, (std::vector{Role::LeftOut, Role::Reference}));
}

}  // namespace
}  // namespace beatwitness::app
