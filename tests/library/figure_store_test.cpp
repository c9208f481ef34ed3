#include "core/library/figure_store.h"

#include "tests/library/library_fixture.h"

using namespace beatwitness;
using namespace beatwitness::library;

namespace {

class FigureStore : public tests::LibraryFixture {
protected:
    FigureStore() : library_{opened()} {
        const auto draft = tests::pairDraft("pyramid", 1);
        session_ = library_.addSessions(std::span{&draft, 1})->front().id;
    }

    [[nodiscard]] FigureParticulars named(const std::string& name,
                                          const std::string& project = "band trial") {
        FigureParticulars figure;
        figure.project = *library_.project(project);
        figure.name = name;
        return figure;
    }

    Result<Done> write(FigureId id, const FigureParticulars& is) {
        const RowValue value = RowOf<FigureId, FigureParticulars>{id, is};
        return library_.write(std::span{&value, 1}, "edited");
    }

    Library library_;
    SessionId session_;
};

}  // namespace

TEST_F(FigureStore, GivesBackEveryWordOfADefinition) {
    auto is = named("north ridge with its map");
    is.content = {"overlay",
                  session_,
                  {*library_.device("band")},
                  {*library_.activity("hill walk")},
                  false,
                  false,
                  5,
                  60.5,
                  900.0,
                  false,
                  false,
                  false,
                  false,
                  true,
                  "cube-root"};
    is.texts = {"A title", "A subtitle", "A caption"};
    is.look = {true, true, true, "85mm", 600};

    const auto id = library_.addFigure(is);

    ASSERT_TRUE(id) << id.fault().message;
    EXPECT_EQ(*library_.particulars(*id), is);
}

TEST_F(FigureStore, AddsBehindTheOtherFiguresOfTheProject) {
    const auto first = *library_.addFigure(named("first"));
    const auto other = *library_.addFigure(named("elsewhere", "watch trial"));

    const auto second = *library_.addFigure(named("second"));

    EXPECT_EQ(library_.particulars(first)->place, 0);
    EXPECT_EQ(library_.particulars(other)->place, 0);
    EXPECT_EQ(library_.particulars(second)->place, 1);
}

TEST_F(FigureStore, ListsFiguresByPlaceWithoutTheDeletedOnes) {
    const auto a = *library_.addFigure(named("a")), b = *library_.addFigure(named("b")),
               c = *library_.addFigure(named("c"));
    auto moved = *library_.particulars(a);
    moved.place = 7;
    auto gone = *library_.particulars(b);
    gone.deleted = true;
    ASSERT_TRUE(write(a, moved) && write(b, gone));

    const auto figures = *library_.figures();

    ASSERT_EQ(figures.size(), 2u);
    EXPECT_EQ(figures[0].id, c);
    EXPECT_EQ(figures[1].id, a);
    EXPECT_EQ(library_.deletedRows()->front().label, "b");
}

TEST_F(FigureStore, RefusesAScaleThatItDoesNotKnowAndKeepsWhatStands) {
    const auto id = *library_.addFigure(named("map"));
    auto wrong = *library_.particulars(id);
    wrong.content.scale = "square";

    const auto done = write(id, wrong);

    ASSERT_FALSE(done);
    EXPECT_EQ(done.fault().code, FaultCode::WrongUsage);
    EXPECT_EQ(library_.particulars(id)->content.scale, "log");
}

TEST_F(FigureStore, GoesIntoCopies) {
    ASSERT_TRUE(library_.addFigure(named("kept")));

    ASSERT_TRUE(library_.saveCopy(path("copy.library")));

    const auto copy = Library::open(path("copy.library"), {.write = false});
    ASSERT_TRUE(copy);
    EXPECT_EQ(const_cast<Library&>(*copy).figures()->front().is.name, "kept");
}

// A filter that fell away would show more than the figure was made to show.
TEST_F(FigureStore, KeepsADeletedActivityThatAFigureIsLimitedTo) {
    const auto activity = *library_.activity("kettlebell circuit");
    auto is = named("circuits");
    is.content.activities = {activity};
    const auto id = *library_.addFigure(is);
    const RowValue gone = RowOf<ActivityId, ActivityParticulars>{activity, {"kettlebell circuit", "", true}};
    ASSERT_TRUE(library_.write(std::span{&gone, 1}, "deleted"));

    ASSERT_TRUE(library_.purgeDeleted());

    EXPECT_EQ(library_.particulars(id)->content.activities, is.content.activities);
}
