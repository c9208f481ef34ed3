#pragma once

#include "core/flags/flag.h"
#include "widgets/inputs/section.h"

class QLabel;
class QListView;

namespace beatwitness::widgets {
class FlagListModel;
}

namespace beatwitness::app {

class Document;

/// "Flags" of the test in front, as a list; a click or Enter goes there.
class FlagsPanel : public widgets::Section {
    Q_OBJECT

public:
    explicit FlagsPanel(Document& document, QWidget* parent = nullptr);

    /// Selects the next (or previous) flag from the selected one and goes there; nothing without flags.
    void step(int by);
    [[nodiscard]] int flagCount() const;
    /// Selects this flag, where the list has it.
    void pick(const flags::Flag* flag);
    /// The flag at hand, or nullptr.
    [[nodiscard]] const flags::Flag* atHand() const;
    /// The list may be this many pixels high where it holds so much; a few rows are always in sight.
    void setRoom(int height);

signals:
    /// Row `index` of `count` became the flag at hand; nullptr: none.
    void flagAtHand(const beatwitness::flags::Flag* flag, int index, int count);
    /// The user wants to see it.
    void goTo(const beatwitness::flags::Flag& flag);

private:
    void refresh();
    void visit(int row);
    void fitRows();

    Document& document_;
    int room_ = 0;
    widgets::FlagListModel* model_;
    QListView* list_;
    QLabel* none_;
};

}  // namespace beatwitness::app
