#include "widgets/inputs/check_menu.h"

#include <QKeyEvent>
#include <QMenu>
#include <QMouseEvent>
#include <algorithm>
#include <utility>

namespace beatwitness::widgets {

CheckMenu::CheckMenu(const QStringList& choices, const QString& all, QWidget* parent)
    : QPushButton(parent), all_(all) {
    setStyleSheet(QStringLiteral("text-align: left"));
    setSizePolicy(QSizePolicy::Ignored, QSizePolicy::Fixed);
    setFocusPolicy(Qt::StrongFocus);
    setMinimumHeight(26);
    auto* menu = new QMenu(this);
    for (const auto& choice : choices) {
        auto* action = menu->addAction(choice);
        action->setCheckable(true);
    }
    setMenu(menu);
    menu->installEventFilter(this);
    connect(menu, &QMenu::triggered, this, [this] { touched_ = true; });
    connect(menu, &QMenu::aboutToHide, this, [this] {
        refresh();
        if (std::exchange(touched_, false)) emit chosen();
    });
    refresh();
}

void CheckMenu::setChecked(const std::vector<int>& indices) {
    const auto actions = menu()->actions();
    for (int i = 0; i < actions.size(); ++i)
        actions[i]->setChecked(std::find(indices.begin(), indices.end(), i) != indices.end());
    refresh();
}

std::vector<int> CheckMenu::checked() const {
    std::vector<int> indices;
    const auto actions = menu()->actions();
    for (int i = 0; i < actions.size(); ++i)
        if (actions[i]->isChecked()) indices.push_back(i);
    return indices;
}

void CheckMenu::refresh() {
    QStringList names;
    for (const auto* action : menu()->actions())
        if (action->isChecked()) names << action->text();
    setText(names.isEmpty() ? all_ : names.join(QStringLiteral(", ")));
    setToolTip(text());
    setAccessibleDescription(text());
}

/// A tick does not close the menu: more may follow.
bool CheckMenu::eventFilter(QObject* watched, QEvent* event) {
    const bool release = event->type() == QEvent::MouseButtonRelease;
    const bool space =
        event->type() == QEvent::KeyPress && static_cast<QKeyEvent*>(event)->key() == Qt::Key_Space;
    auto* action = release ? menu()->actionAt(static_cast<QMouseEvent*>(event)->pos())
                           : (space ? menu()->activeAction() : nullptr);
    if (watched != menu() || !action) return QPushButton::eventFilter(watched, event);
    action->trigger();
    touched_ = true;
    return true;
}

}  // namespace beatwitness::widgets
